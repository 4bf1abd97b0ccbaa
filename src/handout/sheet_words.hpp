// The sentences of a property sheet: what is told of one property, and how sure it is. Private to the module. Each is
// empty where there is nothing to tell.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/property/property.hpp"
#include "eaveshed/record/quantity_text.hpp"

namespace eaveshed {

// A figure with its name and what is to be said of it.
struct SheetFigure {
    std::string name;
    std::string value;
    std::string text;
};

class SheetWords {
public:
    SheetWords(const Property& property, const Settings& settings)
        : m_property(property), m_row(property.row), m_settings(settings), m_units(settings.output.units) {}

    // What it is about, and how the water gets in and out: by the maps, and with what they cannot tell.
    [[nodiscard]] std::string opening() const;
    [[nodiscard]] std::vector<SheetFigure> figures() const;
    // What keeps the tanks from replacing more.
    [[nodiscard]] std::string limit() const;
    // Where they would stand.
    [[nodiscard]] std::string place(const PropertyPad& pad) const;
    // What the profile's drawing cannot say of itself.
    [[nodiscard]] std::string profile() const;
    // How the lines from the gutters run, those of several roofs apart.
    [[nodiscard]] std::string lines() const;
    // How the seasons of the record go together with the headline.
    [[nodiscard]] std::string seasons() const;
    // What goes with it: pumps, weight, overflow, reserve, road, frost, leaves.
    [[nodiscard]] std::vector<std::string> notes() const;

private:
    [[nodiscard]] std::string delivery() const;
    [[nodiscard]] std::string doubt() const;
    [[nodiscard]] std::string range(const RangedValue& value, std::string_view unit) const;
    [[nodiscard]] SheetFigure tanks() const;
    [[nodiscard]] SheetFigure without_pump() const;
    [[nodiscard]] SheetFigure pressure() const;
    [[nodiscard]] SheetFigure creek() const;
    [[nodiscard]] std::string line_of(const PropertyRoof& roof, bool named) const;
    void add_pumps(const PadRow& row, std::vector<std::string>& notes) const;
    [[nodiscard]] std::string height(double value_m) const { return m_units.fixed("m", value_m, 1); }

    const Property& m_property;
    const ParcelRow& m_row;
    const Settings& m_settings;
    QuantityText m_units;
};

}  // namespace eaveshed
