// Which values of a roof or parcel were measured on site: the overrides table gave them and they won over the input.
#pragma once

#include <cstdint>

namespace eaveshed {

enum class Measured : std::uint8_t {
    eave_height,
    eave_elev,
    connected_share,
    material,
    runoff_coefficient,
    pad,
    people,
    garden,
    season_use,
    water_source,
    source_share,
    stream_distance,
    existing_storage,
    pump,
    contact_status,
    use_point,
};

// A set of them. Value type.
class MeasuredValues {
public:
    constexpr MeasuredValues() = default;
    constexpr explicit MeasuredValues(std::uint32_t bits) : m_bits(bits) {}

    constexpr void add(Measured value) { m_bits |= bit(value); }
    [[nodiscard]] constexpr bool has(Measured value) const { return (m_bits & bit(value)) != 0; }
    [[nodiscard]] constexpr bool any() const { return m_bits != 0; }
    [[nodiscard]] constexpr std::uint32_t bits() const { return m_bits; }
    friend constexpr bool operator==(MeasuredValues, MeasuredValues) = default;

private:
    static constexpr std::uint32_t bit(Measured value) { return std::uint32_t{1} << static_cast<unsigned>(value); }
    std::uint32_t m_bits = 0;
};

}  // namespace eaveshed
