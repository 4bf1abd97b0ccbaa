// The closed lists of the output: statuses, flags, reasons, classes. One place for their names and meanings.
// The texts are part of the file contract: they are never translated, renamed or reordered.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

namespace eaveshed {

// The first status that applies stands, in this order; `ok` last.
enum class Status : std::uint8_t { bad_geometry, duplicate, too_small, no_rain, ok };

// Notes on how a row's numbers came about. In alphabetical order of their names, which is the order in the row.
enum class Flag : std::uint8_t {
    assumed_dry_winter,
    assumed_use_point,
    check_permit,
    default_connected,
    default_demand,
    default_eave,
    default_et0,
    default_material,
    dem_gap,
    mean_year_only,
    measured,
    no_elevation,
    overlaps,
    rain_filled,
    read_error,
    repaired,
    score_partial,
    short_record,
    smaller_storage,
    text_replaced,
    unknown_source,
};
inline constexpr std::size_t kFlagCount = 21;

// What keeps the chosen storage from replacing more summer diversion.
enum class LimitedBy : std::uint8_t { demand, tank, roof };

// How the water gets into the tank and out to the garden.
enum class Delivery : std::uint8_t { gravity, low_pressure, pumped_feed, pumped_fill, no_pad, no_use };

enum class GravityCheck : std::uint8_t { yes, no, cannot_tell };

// Why a roof has no pad: the rule that removed most cells, in the order in which the rules are applied.
enum class PadReason : std::uint8_t {
    elevation_gap,
    slope,
    cut,
    parcel,
    boundary_setback,
    building_setback,
    stream_setback,
    exclusion,
    lift,
    feed_lift,
    no_use_point,
    no_elevation,
};

// Whether something was computed for a parcel.
enum class ParcelStatus : std::uint8_t { no_roofs, no_computed_roofs, ok };

// Whether an owner may be asked; only candidates are ranked.
enum class ContactStatus : std::uint8_t { candidate, enrolled, declined, do_not_contact };

// Whose water a pad holds: one roof's or all connected roofs' of a parcel.
enum class PadLevel : std::uint8_t { roof, parcel };

// Whether the gutter stands high enough above the tank.
enum class FillClass : std::uint8_t { sure, likely, lifted };

// What presses the water out of the tank; the better first.
enum class FeedClass : std::uint8_t { gravity, low, pumped };

// How the line from gutter to tank lies.
enum class FillLine : std::uint8_t { dry, wet };

// What became of a row of the overrides table.
enum class OverrideOutcome : std::uint8_t { applied, carried, ambiguous, no_match, not_usable, empty };

// A closed list's entry as text, and what it means in a sentence.
struct Term {
    std::string_view name;
    std::string_view meaning;
};

[[nodiscard]] const std::array<Term, 5>& status_terms();
[[nodiscard]] const std::array<Term, kFlagCount>& flag_terms();
[[nodiscard]] const std::array<Term, 3>& limited_by_terms();
[[nodiscard]] const std::array<Term, 6>& delivery_terms();
[[nodiscard]] const std::array<Term, 3>& gravity_check_terms();
[[nodiscard]] const std::array<Term, 12>& pad_reason_terms();
[[nodiscard]] const std::array<Term, 3>& parcel_status_terms();
[[nodiscard]] const std::array<Term, 4>& contact_status_terms();
[[nodiscard]] const std::array<Term, 2>& pad_level_terms();
[[nodiscard]] const std::array<Term, 3>& fill_terms();
[[nodiscard]] const std::array<Term, 3>& feed_terms();
[[nodiscard]] const std::array<Term, 2>& fill_line_terms();
[[nodiscard]] const std::array<Term, 6>& override_outcome_terms();

[[nodiscard]] std::string_view to_text(Status value);
[[nodiscard]] std::string_view to_text(Flag value);
[[nodiscard]] std::string_view to_text(LimitedBy value);
[[nodiscard]] std::string_view to_text(Delivery value);
[[nodiscard]] std::string_view to_text(GravityCheck value);
[[nodiscard]] std::string_view to_text(PadReason value);
[[nodiscard]] std::string_view to_text(ParcelStatus value);
[[nodiscard]] std::string_view to_text(ContactStatus value);
[[nodiscard]] std::string_view to_text(PadLevel value);
[[nodiscard]] std::string_view to_text(FillClass value);
[[nodiscard]] std::string_view to_text(FeedClass value);
[[nodiscard]] std::string_view to_text(FillLine value);
[[nodiscard]] std::string_view to_text(OverrideOutcome value);

// A set of flags. Value type; order of insertion does not matter.
class Flags {
public:
    constexpr Flags() = default;
    constexpr explicit Flags(std::uint32_t bits) : m_bits(bits) {}

    constexpr void add(Flag flag) { m_bits |= bit(flag); }
    constexpr void add(Flags other) { m_bits |= other.m_bits; }
    [[nodiscard]] constexpr Flags without(Flag flag) const { return Flags(m_bits & ~bit(flag)); }
    [[nodiscard]] constexpr bool has(Flag flag) const { return (m_bits & bit(flag)) != 0; }
    [[nodiscard]] constexpr std::uint32_t bits() const { return m_bits; }
    friend constexpr bool operator==(Flags, Flags) = default;

private:
    static constexpr std::uint32_t bit(Flag flag) { return std::uint32_t{1} << static_cast<unsigned>(flag); }
    std::uint32_t m_bits = 0;
};

// Names sorted, joined by commas; empty text for no flag.
[[nodiscard]] std::string to_text(Flags flags);

}  // namespace eaveshed
