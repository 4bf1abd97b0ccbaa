// The closed lists of the output: statuses, flags, reasons, classes. One place for their names and meanings. A new list
// is an enumeration, its terms below it, and an entry in kOutputLists.
// The texts are part of the file contract: they are never translated, renamed or reordered.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

#include "eaveshed/core/closed_list.hpp"

namespace eaveshed {

// The first status that applies stands, in this order; `ok` last.
enum class Status : std::uint8_t { bad_geometry, duplicate, too_small, no_rain, ok };
template <>
inline constexpr TermList<5> kTermList<Status>{
    "status",
    "whether the roof was computed, or why not",
    {{
        {"bad_geometry", "the footprint is missing, empty or cannot be repaired into an area"},
        {"duplicate", "exactly the same footprint as an earlier row; counted in no sum"},
        {"too_small", "plan area below min_area_m2"},
        {"no_rain", "no rain cell with data at the roof or within three cells of it, or no tank year with enough data"},
        {"ok", "computed"},
    }}};

// Notes on how a row's numbers came about. In alphabetical order of their names, which is the order in the row.
enum class Flag : std::uint8_t {
    assumed_dry_winter,
    assumed_share,
    assumed_use_point,
    check_permit,
    coarse_elevation,
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
    seldom_full,
    short_record,
    smaller_storage,
    text_replaced,
    unknown_source,
};
template <>
inline constexpr TermList<24> kTermList<Flag>{
    "flags",
    "how a row's numbers came about: what was assumed, missing or out of the ordinary",
    {{
        {"assumed_dry_winter", "dependable and worst values come from the mean year times dry_winter_factor"},
        {"assumed_share",
         "what the creek feels of a shallow well's take is not known of this well: shallow_well_share stands in for "
         "it"},
        {"assumed_use_point",
         "no use point with an elevation was given: a garden cell of middling elevation stands in for it"},
        {"check_permit", "one tank is larger or more slender than the permit limits in the settings"},
        {"coarse_elevation", "the elevations' cells are wider than coarse_cell_m: heights are a first guess"},
        {"default_connected", "no usable connected share in the data: the default was used"},
        {"default_demand", "people and garden area, or the measured season use, do not both come from data"},
        {"default_eave", "no eave height, surface or storeys in the data: the default height was used"},
        {"default_et0", "no reference evapotranspiration at the roof: the default was used"},
        {"default_material", "no roof material in the data, or one that is not in the table: the default was used"},
        {"dem_gap", "part of the footprint's edge lies on missing elevation"},
        {"mean_year_only", "rain is a mean year: nothing is known of dry winters"},
        {"measured", "a measured value from the overrides table was used"},
        {"no_elevation", "no elevation anywhere along the footprint's edge: no ground, eave or siting"},
        {"overlaps", "overlaps another footprint by more than overlap_share of the smaller one"},
        {"rain_filled", "rain taken from the nearest cell with data, up to three cells away"},
        {"read_error", "a block of an input under this roof could not be read"},
        {"repaired", "the footprint was invalid and was repaired"},
        {"score_partial", "a component of the score has no data here, though other candidates have it"},
        {"seldom_full", "the storage is full in fewer winters than seldom_full_share"},
        {"short_record", "fewer than ten tank years count"},
        {"smaller_storage", "the recommended storage has no pad: the next smaller one that has"},
        {"text_replaced", "a text that was not valid UTF-8 was replaced"},
        {"unknown_source", "the water source is not known: the creek is assumed not to feel the take"},
    }}};

// What keeps the chosen storage from replacing more summer diversion.
enum class LimitedBy : std::uint8_t { demand, tank, roof };
template <>
inline constexpr TermList<3> kTermList<LimitedBy>{
    "limited_by",
    "what keeps the storage from replacing more of the summer take",
    {{
        {"demand", "the season's demand is met: more storage or roof would replace little more"},
        {"tank", "a larger tank would replace more"},
        {"roof", "the roof fills no larger tank dependably"},
    }}};

// How the water gets into the tank and out to the garden.
enum class Delivery : std::uint8_t { gravity, low_pressure, pumped_feed, pumped_fill, no_pad, no_use };
template <>
inline constexpr TermList<6> kTermList<Delivery>{
    "delivery",
    "how the water gets into the tank and out to its use",
    {{
        {"gravity", "fills from the gutter and feeds at the required pressure without a pump"},
        {"low_pressure", "fills and feeds without a pump, at a pressure for drip tape or an open hose"},
        {"pumped_feed", "fills from the gutter; a pump feeds"},
        {"pumped_fill", "the gutter is too low: a pump lifts the water into the tank"},
        {"no_pad", "no cell passes the siting rules"},
        {"no_use", "no storage replaces any summer take"},
    }}};

enum class GravityCheck : std::uint8_t { yes, no, cannot_tell };
template <>
inline constexpr TermList<3> kTermList<GravityCheck>{
    "gravity_check",
    "whether gravity alone fills and feeds, given how certain the elevations are",
    {{
        {"yes", "gravity fill and feed hold with at least 90 % probability"},
        {"no", "gravity fill or feed holds with at most 10 % probability"},
        {"cannot_tell", "the elevations are not certain enough to tell"},
    }}};

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
template <>
inline constexpr TermList<12> kTermList<PadReason>{
    "no_pad_reason",
    "why there is no pad: the rule that removed most places, in the order in which the rules are applied",
    {{
        {"elevation_gap", "elevation missing at the cell or around it"},
        {"slope", "steeper than max_slope_pct"},
        {"cut", "levelling needs a cut deeper than max_cut_m"},
        {"parcel", "outside the parcel, or nearer to another footprint"},
        {"boundary_setback", "too near the parcel's edge"},
        {"building_setback", "too near a building"},
        {"stream_setback", "too near a stream"},
        {"exclusion", "inside an exclusion area, or too near an exclusion"},
        {"lift", "the gutter is too far below the tank top"},
        {"feed_lift", "the use point is too far above the tank"},
        {"no_use_point", "no use point given and no garden cell found"},
        {"no_elevation", "no elevation at the roof"},
    }}};

// Whether something was computed for a parcel.
enum class ParcelStatus : std::uint8_t { no_roofs, no_computed_roofs, ok };
template <>
inline constexpr TermList<3> kTermList<ParcelStatus>{
    "parcel_status",
    "whether something was computed for the parcel, or why not",
    {{
        {"no_roofs", "no footprint of the input belongs to the parcel"},
        {"no_computed_roofs", "none of its roofs has status ok"},
        {"ok", "computed"},
    }}};

// How far talks with an owner are.
enum class ContactStatus : std::uint8_t {
    candidate,
    contacted,
    interested,
    visit_booked,
    visited,
    enrolled,
    declined,
    do_not_contact
};
template <>
inline constexpr TermList<8> kTermList<ContactStatus>{
    "contact_status",
    "how far talks with the owner are; enrolled, declined and do_not_contact are not ranked",
    {{
        {"candidate", "nothing said yet: may be asked"},
        {"contacted", "has been called or written to"},
        {"interested", "wants to know more"},
        {"visit_booked", "a visit is agreed"},
        {"visited", "someone has looked at the place"},
        {"enrolled", "has an agreement already: its gain counts as present"},
        {"declined", "has said no"},
        {"do_not_contact", "asked to be left alone"},
    }}};

// How the tanks of a pad stand on the ground.
enum class Arrangement : std::uint8_t { single, cluster, row };
template <>
inline constexpr TermList<3> kTermList<Arrangement>{
    "arrangement",
    "how the tanks stand on the ground",
    {{
        {"single", "one tank on its own circle of level ground"},
        {"cluster", "several tanks side by side on one level circle"},
        {"row", "several tanks in a line along the contour, each on its own circle, level with each other"},
    }}};

// Whose water a pad holds: one roof's or all connected roofs' of a parcel.
enum class PadLevel : std::uint8_t { roof, parcel };
template <>
inline constexpr TermList<2> kTermList<PadLevel>{
    "level",
    "whose storage stands on the pad",
    {{
        {"roof", "the pad of one roof's storage"},
        {"parcel", "the pad of the storage shared by the connected roofs of a parcel"},
    }}};

// Whether the gutter stands high enough above the tank.
enum class FillClass : std::uint8_t { sure, likely, lifted };
template <>
inline constexpr TermList<3> kTermList<FillClass>{
    "fill",
    "whether the gutter is high enough above the pad",
    {{
        {"sure", "the gutter is high enough with at least 90 % probability"},
        {"likely", "the gutter is high enough by the elevations as they are"},
        {"lifted", "the gutter is too low: a pump lifts the water into the tank"},
    }}};

// What presses the water out of the tank; the better first.
enum class FeedClass : std::uint8_t { gravity, low, pumped };
template <>
inline constexpr TermList<3> kTermList<FeedClass>{
    "feed",
    "what presses the water out",
    {{
        {"gravity", "reaches the required pressure without a pump"},
        {"low", "reaches the minimum pressure, for drip tape or an open hose, without a pump"},
        {"pumped", "needs a pump"},
    }}};

// What a pipe carries: water to the store, or from it.
enum class PipeKind : std::uint8_t { fill, feed };
template <>
inline constexpr TermList<2> kTermList<PipeKind>{
    "kind",
    "what a pipe carries",
    {{
        {"fill", "the roof's water from the gutter to the top of the tank"},
        {"feed", "stored water from the tank's outlet to the tap where it is used"},
    }}};

// Whether the pipe that fills the tank empties itself. Common practice: a dry line falls all the way above ground; a
// wet one is buried and stays full.
enum class FillLine : std::uint8_t { dry, wet };
template <>
inline constexpr TermList<2> kTermList<FillLine>{
    "fill_line",
    "whether the pipe that fills the tank empties itself",
    {{
        {"dry", "short and falling all the way above the ground: empty after the rain"},
        {"wet", "long, or with ground in its way: buried, and full until it is drained at its lowest point"},
    }}};

// How an offer's reach was found; the surest first.
enum class EntryWay : std::uint8_t { diversion, flow, nearest };
template <>
inline constexpr TermList<3> kTermList<EntryWay>{
    "reach_entry",
    "how the reach was found",
    {{
        {"diversion", "the reach nearest to the place where the water is taken"},
        {"flow", "the first reach that the water of the pad or roof runs to over the ground"},
        {"nearest", "the reach nearest to the pad or roof"},
    }}};

// What became of a row of the overrides table.
enum class OverrideOutcome : std::uint8_t { applied, carried, ambiguous, no_match, not_usable, empty };
template <>
inline constexpr TermList<6> kTermList<OverrideOutcome>{
    "outcome",
    "what became of a row of the overrides table",
    {{
        {"applied", "its values stand for the roof or parcel of that id"},
        {"carried", "its values stand for the one that now lies where the old outline lay"},
        {"ambiguous", "several could be meant, or another row says otherwise: not applied"},
        {"no_match", "no roof or parcel of that id, and none where the old outline lay: not applied"},
        {"not_usable", "no single id, or no value that can be used: not applied"},
        {"empty", "an id without any value: nothing to apply"},
    }}};

// The lists of the columns that hold one term, in the order in which the output's schema names them.
inline constexpr std::array kOutputLists{
    closed_list<Status>(),    closed_list<LimitedBy>(), closed_list<Delivery>(),       closed_list<GravityCheck>(),
    closed_list<PadReason>(), closed_list<PadLevel>(),  closed_list<ParcelStatus>(),   closed_list<ContactStatus>(),
    closed_list<FillClass>(), closed_list<FeedClass>(), closed_list<Arrangement>(),    closed_list<PipeKind>(),
    closed_list<FillLine>(),  closed_list<EntryWay>(),  closed_list<OverrideOutcome>()};

inline constexpr std::size_t kFlagCount = terms_of<Flag>().size();

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
// The inverse; words that are no flags are left out.
[[nodiscard]] Flags flags_from_text(std::string_view text);

}  // namespace eaveshed
