// What can be known of a roof, a parcel or a reach: the values that a field of the data or a measurement on site gave,
// as they were given. Whether a value makes sense is asked where it is used. Every member has one row in
// facts/table.hpp, which says the rest: where it is read, what may be measured, what stands in for it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>

#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

// Some facts of one table, by their rows. Value type; holds rows 0 to 31.
class FactSet {
public:
    constexpr FactSet() = default;
    constexpr explicit FactSet(std::uint32_t bits) : m_bits(bits) {}

    constexpr void add(std::size_t row) { m_bits |= bit(row); }
    [[nodiscard]] constexpr bool has(std::size_t row) const { return (m_bits & bit(row)) != 0; }
    [[nodiscard]] constexpr std::uint32_t bits() const { return m_bits; }
    friend constexpr bool operator==(FactSet, FactSet) = default;

private:
    static constexpr std::uint32_t bit(std::size_t row) { return std::uint32_t{1} << row; }
    std::uint32_t m_bits = 0;
};

struct RoofFacts {
    std::optional<double> eave_height_m;    // of the gutter above the ground
    std::optional<double> eave_elev_m;      // of the gutter; wins over its height
    std::optional<double> connected_share;  // of the roof
    std::optional<std::string> material;
    std::optional<double> runoff_coefficient;  // wins over the material
    std::optional<double> pad_x;               // where the tank can stand
    std::optional<double> pad_y;
    std::optional<double> storeys;
    FactSet measured;  // those that were measured on site

    [[nodiscard]] std::optional<Point> pad_place() const {
        return pad_x && pad_y ? std::optional(Point{*pad_x, *pad_y}) : std::nullopt;
    }
    void set_pad_place(Point place) {
        pad_x = place.x;
        pad_y = place.y;
    }
    friend bool operator==(const RoofFacts&, const RoofFacts&) = default;
};

struct ParcelFacts {
    std::optional<double> people;
    std::optional<double> irrigated_area_m2;
    std::optional<double> season_use_m3;  // wins over people and garden
    std::optional<std::string> water_source;
    std::optional<double> source_share;       // wins over the water source
    std::optional<double> stream_distance_m;  // of a shallow well
    std::optional<double> nearest_reach_m;    // the same as the streams show it, where the data do not say
    std::optional<double> existing_storage_m3;
    std::optional<double> pump_lps;
    std::optional<std::string> contact_status;
    std::optional<double> use_x;  // where the water is wanted
    std::optional<double> use_y;
    std::optional<std::string> owner_key;  // equal for parcels of one owner
    FactSet measured;

    [[nodiscard]] std::optional<Point> use_point() const {
        return use_x && use_y ? std::optional(Point{*use_x, *use_y}) : std::nullopt;
    }
    void set_use_point(Point place) {
        use_x = place.x;
        use_y = place.y;
    }
    friend bool operator==(const ParcelFacts&, const ParcelFacts&) = default;
};

// Of a given stream line; never measured by the table of measured values.
struct ReachFacts {
    std::optional<std::string> name;  // of the creek, shared by its reaches
    std::optional<double> low_flow_lps;
    friend bool operator==(const ReachFacts&, const ReachFacts&) = default;
};

}  // namespace eaveshed
