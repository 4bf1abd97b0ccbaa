// Explanations in US units beside those in SI.
#pragma once

#include <gtest/gtest.h>

#include <regex>
#include <string>
#include <variant>

#include "eaveshed/document/document.hpp"
#include "eaveshed/settings/table.hpp"

namespace eaveshed {

// Without the sources of the settings, which are quoted as they are.
inline std::string without_sources(std::string text) {
    for (const Setting& setting : settings_table()) {
        if (const std::size_t place = text.find(setting.source); place != std::string::npos) {
            text.erase(place, setting.source.size());
        }
    }
    return text;
}

// The first number with an SI unit that US units have another one for; empty without one.
inline std::string si_quantity_in(const Document& document) {
    static const std::regex kQuantity(R"([0-9]\s+(m3|m2|m|mm|kPa|L/s|L)\b)");
    Document quoting_nothing = document;
    for (DocumentSection& section : quoting_nothing.sections) {
        for (DocumentPart& part : section.parts) {
            if (auto* const fact = std::get_if<Fact>(&part)) {
                fact->from = without_sources(fact->from);
            }
        }
    }
    const std::string text = document_text(quoting_nothing);
    std::smatch found;
    return std::regex_search(text, found, kQuantity) ? found.str() : std::string();
}

// Fact by fact and cell by cell the same quantities, under the same keys.
inline void expect_same_quantities(const Document& si, const Document& us) {
    const QuantityText units(OutputUnits::us);
    const auto expect = [&](const Value& a, const Value& b, const std::string& unit, const std::string& key) {
        const auto* const number = std::get_if<double>(&a);
        if (number != nullptr) {
            EXPECT_DOUBLE_EQ(std::get<double>(b), units.shown(unit, *number)) << key;
        } else if (!std::holds_alternative<std::string>(a)) {
            EXPECT_EQ(a, b) << key;
        }
    };
    ASSERT_EQ(si.sections.size(), us.sections.size());
    for (std::size_t i = 0; i < si.sections.size(); ++i) {
        ASSERT_EQ(si.sections[i].key, us.sections[i].key);
        for (std::size_t k = 0; k < std::min(si.sections[i].parts.size(), us.sections[i].parts.size()); ++k) {
            const DocumentPart& a = si.sections[i].parts[k];
            const DocumentPart& b = us.sections[i].parts[k];
            if (const auto* const fact = std::get_if<Fact>(&a); fact != nullptr && fact->key != "cost_per_m3") {
                EXPECT_EQ(fact->key, std::get<Fact>(b).key);
                EXPECT_EQ(std::get<Fact>(b).unit, units.unit(fact->unit));
                expect(fact->value, std::get<Fact>(b).value, fact->unit, fact->key);
            } else if (const auto* const table = std::get_if<FactTable>(&a)) {
                const auto& other = std::get<FactTable>(b);
                ASSERT_EQ(table->rows.size(), other.rows.size()) << table->key;
                for (std::size_t row = 0; row < table->rows.size(); ++row) {
                    for (std::size_t column = 0; column < table->columns.size(); ++column) {
                        expect(table->rows[row][column], other.rows[row].at(column), table->columns[column].unit,
                               table->columns[column].key);
                    }
                }
            }
        }
    }
}

}  // namespace eaveshed
