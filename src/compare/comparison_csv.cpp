#include <fmt/format.h>

#include "eaveshed/compare/compare.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/sheet/sheet.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

// "Storage before, m3", ...: three columns for a quantity, two for a word.
std::vector<std::string> titles(const QuantityText& units, const std::string& currency) {
    std::vector<std::string> names{"Table",
                                   "Id",
                                   "Id before",
                                   "Parcel",
                                   "What",
                                   "Matched by",
                                   "Measured values",
                                   "Changed first",
                                   "Changed steps",
                                   "Changed columns"};
    for (std::size_t i = 0; i < kMeasures; ++i) {
        const auto measure = static_cast<Measure>(i);
        const Field& field = field_of(measure);
        std::string unit = field.unit == "1" ? "" : std::string(units.unit(field.unit));
        unit = measure == Measure::cost ? printable(currency, 20) : unit;
        const std::string ending = unit.empty() ? "" : ", " + unit;
        names.push_back(fmt::format("{} before{}", field.title, ending));
        names.push_back(fmt::format("{} after{}", field.title, ending));
        if (measure != Measure::delivery) {
            names.push_back(fmt::format("{} change{}", field.title, ending));
        }
    }
    return names;
}

// In the unit that is shown; whole numbers stay whole.
Value in_unit(const QuantityText& units, Measure measure, const Value& value) {
    const auto* const real = std::get_if<double>(&value);
    return real != nullptr ? Value(units.shown(field_of(measure).unit, *real)) : value;
}

Value difference(const Value& before, const Value& after) {
    const auto a = number_in(before);
    const auto b = number_in(after);
    if (!a || !b) {
        return {};
    }
    const bool whole = std::holds_alternative<std::int64_t>(before) && std::holds_alternative<std::int64_t>(after);
    return whole ? Value(std::get<std::int64_t>(after) - std::get<std::int64_t>(before)) : Value(*b - *a);
}

std::string changed_names(const ComparedTable& table, const ChangeReader& reader) {
    std::string text;
    for (const std::size_t i : reader.columns()) {
        text += (text.empty() ? "" : ", ") + table.names[i];
    }
    return text;
}

class ChangeList {
public:
    ChangeList(const std::string& path, const Comparison& comparison)
        : m_comparison(comparison),
          m_units(comparison.after.settings.output.units),
          m_file(path, titles(m_units, comparison.one_currency() ? comparison.after.settings.cost.currency : "")) {}

    void add(const ComparedTable& table, const Changes& changes) {
        ChangeReader reader(*m_comparison.before_file, *m_comparison.after_file, table);
        for (const RowChange& change : changes.rows) {
            reader.read(change);
            std::vector<Value> row{table.name,
                                   reader.id(),
                                   reader.id_before(),
                                   parcel(table, reader),
                                   std::string(spaced(to_text(change.fate))),
                                   matched(change),
                                   std::string(change.measured ? "differ" : ""),
                                   first(change),
                                   change.steps.text(),
                                   change.fate == RowFate::changed ? changed_names(table, reader) : std::string()};
            for (std::size_t i = 0; i < kMeasures; ++i) {
                add_measure(static_cast<Measure>(i), reader, row);
            }
            m_file.add(row);
        }
    }
    void publish() { m_file.publish(); }

private:
    static Value parcel(const ComparedTable& table, const ChangeReader& reader) {
        if (!table.parcel) {
            return {};
        }
        const std::string after = text_in(reader.after()[*table.parcel]);
        return after.empty() ? text_in(reader.before()[*table.parcel]) : after;
    }
    static Value matched(const RowChange& change) {
        return change.fate == RowFate::changed ? Value(std::string(to_text(change.by))) : Value();
    }
    static Value first(const RowChange& change) {
        const auto step = change.steps.first();
        return step ? Value(std::string(to_text(*step))) : Value();
    }
    void add_measure(Measure measure, const ChangeReader& reader, std::vector<Value>& row) const {
        const Value before = in_unit(m_units, measure, reader.before(measure));
        const Value after = in_unit(m_units, measure, reader.after(measure));
        row.push_back(before);
        row.push_back(after);
        if (measure != Measure::delivery) {
            const bool comparable = measure != Measure::cost || m_comparison.one_currency();
            row.push_back(comparable ? difference(before, after) : Value());
        }
    }

    const Comparison& m_comparison;
    QuantityText m_units;
    CsvFile m_file;
};

}  // namespace

void write_comparison_csv(const std::string& path, const Comparison& comparison) {
    ChangeList list(path, comparison);
    list.add(comparison.parcel_table, comparison.parcels);
    list.add(comparison.roof_table, comparison.roofs);
    list.publish();
}

}  // namespace eaveshed
