// The numbers of lists for people, rounded to what they mean, in the units that the project asks for.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/record/values.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// Value type. A value that is not known is null in a list.
class ListNumbers {
public:
    explicit ListNumbers(OutputUnits units) : m_quantities(units), m_units(units) {}

    // 0.1 m3 below 10 m3, else 1 m3; 10 gal below 1000 gal, else 100 gal.
    [[nodiscard]] Value volume(std::optional<double> volume_m3) const;
    // Three figures.
    [[nodiscard]] Value flow(std::optional<double> flow_lps) const;
    // 1 kPa; 0.1 psi.
    [[nodiscard]] Value pressure(std::optional<double> pressure_kpa) const;
    // 1 m; 1 ft.
    [[nodiscard]] Value length(std::optional<double> length_m) const;
    // Whole units of the currency.
    [[nodiscard]] static Value money(std::optional<double> amount);
    // A price of a cubic metre, in whole units; of a gallon, with two decimals.
    [[nodiscard]] Value money_per_volume(std::optional<double> per_m3) const;
    // Of 0..1, as whole percent.
    [[nodiscard]] static Value percent(std::optional<double> share);
    // The same with three figures, for shares that are small as a rule.
    [[nodiscard]] static Value small_percent(std::optional<double> share);

    // "m3" or "gal", for headings; see QuantityText.
    [[nodiscard]] std::string_view unit(std::string_view si_unit) const { return m_quantities.unit(si_unit); }

private:
    QuantityText m_quantities;
    OutputUnits m_units;
};

// The number of a list as a terminal shows it; "-" for null.
[[nodiscard]] std::string list_text(const Value& value);

}  // namespace eaveshed
