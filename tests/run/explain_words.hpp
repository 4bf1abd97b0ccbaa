// Explanations in US units beside those in SI.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <regex>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "eaveshed/document/document.hpp"
#include "eaveshed/settings/table.hpp"

namespace eaveshed {

// Without the sources of the settings, which are quoted as they are.
inline std::string without_sources(std::string text) {
    static const std::vector<std::string_view> kLongestFirst = [] {
        std::vector<std::string_view> sources;
        for (const Setting& setting : settings_table()) {
            sources.push_back(setting.source);
        }
        std::ranges::sort(sources, std::ranges::greater{}, &std::string_view::size);
        return sources;
    }();
    for (const std::string_view source : kLongestFirst) {
        if (const std::size_t place = text.find(source); place != std::string::npos) {
            text.erase(place, source.size());
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

template <typename Part>
std::vector<Part> parts_of(const DocumentSection& section) {
    std::vector<Part> parts;
    for (const DocumentPart& part : section.parts) {
        if (const auto* const found = std::get_if<Part>(&part)) {
            parts.push_back(*found);
        }
    }
    return parts;
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
        const auto of_si = parts_of<Fact>(si.sections[i]);
        const auto of_us = parts_of<Fact>(us.sections[i]);
        ASSERT_EQ(of_si.size(), of_us.size());
        for (std::size_t k = 0; k < of_si.size(); ++k) {
            EXPECT_EQ(of_si[k].key, of_us[k].key);
            EXPECT_EQ(of_us[k].unit, units.unit(of_si[k].unit));
            if (of_si[k].key != "cost_per_m3") {  // for a gallon
                expect(of_si[k].value, of_us[k].value, of_si[k].unit, of_si[k].key);
            }
        }
        const auto tables_si = parts_of<FactTable>(si.sections[i]);
        const auto tables_us = parts_of<FactTable>(us.sections[i]);
        ASSERT_EQ(tables_si.size(), tables_us.size());
        for (std::size_t k = 0; k < tables_si.size(); ++k) {
            const FactTable& table = tables_si[k];
            ASSERT_EQ(table.rows.size(), tables_us[k].rows.size()) << table.key;
            for (std::size_t row = 0; row < table.rows.size(); ++row) {
                for (std::size_t column = 0; column < table.columns.size(); ++column) {
                    expect(table.rows[row][column], tables_us[k].rows[row].at(column), table.columns[column].unit,
                           table.columns[column].key);
                }
            }
        }
    }
}

}  // namespace eaveshed
