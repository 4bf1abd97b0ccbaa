#include "eaveshed/compare/changes.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

namespace eaveshed {

namespace {

double size_of_change(const Value& before, const Value& after) {
    return std::abs(number_in(after).value_or(0.0) - number_in(before).value_or(0.0));
}

// Of a parcel that is not ranked nothing can be asked.
double asked(const ComparedTable& table, const std::vector<Value>& values) {
    const bool counts = !table.rank || number_in(values[*table.rank]).has_value();
    return counts ? number_in(values[table.volume]).value_or(0.0) : 0.0;
}

ChangeSize change_size(const ComparedTable& table, const std::vector<Value>& before, const std::vector<Value>& after) {
    ChangeSize size;
    size.asked_m3 = std::abs(asked(table, after) - asked(table, before));
    size.volume_m3 = size_of_change(before[table.volume], after[table.volume]);
    size.gain_lps = size_of_change(before[table.gain], after[table.gain]);
    size.storage_m3 = size_of_change(before[table.storage], after[table.storage]);
    size.rank = table.rank ? size_of_change(before[*table.rank], after[*table.rank]) : 0.0;
    return size;
}

// Larger changes come first; of equal ones those of the earlier rows, whichever file is the earlier.
bool comes_before(const RowChange& a, const RowChange& b) {
    const auto key = [](const RowChange& change) {
        const auto& [before, after, by] = change.rows;
        return std::tuple(-change.size.asked_m3, -change.size.volume_m3, -change.size.gain_lps, -change.size.storage_m3,
                          change.only_moved(), -change.size.rank, std::max(before, after), std::min(before, after),
                          change.fate);
    };
    return key(a) < key(b);
}

class ChangeSearch {
public:
    ChangeSearch(const ResultReader& before, const ResultReader& after, const ComparedTable& table,
                 const std::set<std::string>& measured_ids)
        : m_reader(before, after, table), m_table(table), m_measured(measured_ids) {}

    void add(const RowPair& pair, RowFate fate, Changes& changes) {
        RowChange change{.fate = fate, .by = pair.by, .rows = pair};
        m_reader.read(change);
        if (fate == RowFate::changed) {
            ++changes.counts.in_both;
            ++changes.counts.matched.at(static_cast<std::size_t>(pair.by));
            change.steps = steps_of(m_table, m_reader.columns());
            if (change.steps.empty()) {
                return;
            }
            change.measured = m_measured.contains(m_reader.id()) || m_measured.contains(m_reader.id_before());
            count_steps(change, changes.counts);
        }
        ++changes.counts.fates.at(static_cast<std::size_t>(fate));
        change.size = change_size(m_table, m_reader.before(), m_reader.after());
        changes.rows.push_back(change);
    }

private:
    static void count_steps(const RowChange& change, ChangeCounts& counts) {
        if (change.measured) {
            ++counts.measured;
        } else {
            ++counts.first.at(static_cast<std::size_t>(*change.steps.first()));
        }
        for (std::size_t i = 0; i < counts.touched.size(); ++i) {
            counts.touched[i] += change.steps.has(static_cast<ChangeStep>(i)) ? 1U : 0U;
        }
    }

    ChangeReader m_reader;
    const ComparedTable& m_table;
    const std::set<std::string>& m_measured;
};

}  // namespace

Changes changed_rows(const ResultReader& before, const ResultReader& after, const ComparedTable& table, Matches matches,
                     const std::set<std::string>& measured_ids) {
    Changes changes;
    ChangeSearch search(before, after, table, measured_ids);
    for (const RowPair& pair : matches.pairs) {
        search.add(pair, RowFate::changed, changes);
    }
    for (const std::int64_t number : matches.only_before) {
        search.add({number, 0, MatchedBy::id}, RowFate::only_before, changes);
    }
    for (const std::int64_t number : matches.only_after) {
        search.add({0, number, MatchedBy::id}, RowFate::only_after, changes);
    }
    std::ranges::sort(changes.rows, comes_before);
    changes.matches = std::move(matches);
    return changes;
}

ChangeReader::ChangeReader(const ResultReader& before, const ResultReader& after, const ComparedTable& table)
    : m_table(&table),
      m_find_before(before.finder(table.name, table.names)),
      m_find_after(after.finder(table.name, table.names)) {}

void ChangeReader::read(const RowChange& change) {
    m_fate = change.fate;
    m_before.assign(m_table->columns.size(), Value());
    m_after.assign(m_table->columns.size(), Value());
    if (m_fate != RowFate::only_after) {
        m_find_before.find(change.rows.before);
        m_before = m_find_before.values();
    }
    if (m_fate != RowFate::only_before) {
        m_find_after.find(change.rows.after);
        m_after = m_find_after.values();
    }
}

Value ChangeReader::at(const std::vector<Value>& values, Measure measure) const {
    const auto place = m_table->place(measure);
    return place ? values[*place] : Value();
}

std::string ChangeReader::id() const {
    return text_in((m_fate == RowFate::only_before ? m_before : m_after)[m_table->id]);
}

std::string ChangeReader::id_before() const {
    if (m_fate != RowFate::changed) {
        return {};
    }
    std::string before = text_in(m_before[m_table->id]);
    return before == id() ? std::string() : before;
}

std::vector<std::size_t> ChangeReader::columns() const {
    return changed_columns(*m_table, m_before, m_after);
}

}  // namespace eaveshed
