// The columns of a table as two finished files are compared by them: those that the program writes (record/) and both
// files have, each with the step of the work that gives it its value.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/record/columns.hpp"
#include "eaveshed/record/table.hpp"
#include "eaveshed/result/result_reader.hpp"

namespace eaveshed {

// The steps from a roof to its place in the ranking, in the order in which one leads to the next: where several have
// changed, the first is the nearest to the cause.
enum class ChangeStep : std::uint8_t {
    standing,
    contact,
    area,
    elevation,
    harvest,
    demand,
    source,
    storage,
    pad,
    cost,
    flags,
    ranking,
};
template <>
inline constexpr TermList<12> kTermList<ChangeStep>{
    "change_step",
    "which step of the work a changed column belongs to",
    {{
        {"standing", "its status, or the parcel or owner that it belongs to"},
        {"contact", "how far talks with its owner are"},
        {"area", "its roofs, their area and what runs off them"},
        {"elevation", "the ground and the gutter's height"},
        {"harvest", "what its roofs yield in winter"},
        {"demand", "what it takes in summer"},
        {"source", "where its water comes from"},
        {"storage", "the tanks, what they replace and what of that the creek feels"},
        {"pad", "where the tanks stand and how water gets in and out"},
        {"cost", "what it costs"},
        {"flags", "how the numbers came about"},
        {"ranking", "its place among the others"},
    }}};

// A set of steps.
class ChangeSteps {
public:
    void add(ChangeStep step) { m_bits = static_cast<std::uint16_t>(m_bits | bit(step)); }
    [[nodiscard]] bool has(ChangeStep step) const { return (m_bits & bit(step)) != 0; }
    [[nodiscard]] bool empty() const { return m_bits == 0; }
    // No step but this one.
    [[nodiscard]] bool only(ChangeStep step) const { return m_bits == bit(step); }
    // None of an empty set.
    [[nodiscard]] std::optional<ChangeStep> first() const;
    // "storage, pad, ranking".
    [[nodiscard]] std::string text() const;

private:
    static unsigned bit(ChangeStep step) { return 1U << static_cast<unsigned>(step); }
    std::uint16_t m_bits = 0;
};

// What is told of every row that changed, before and after, in this order. A table has those that it has columns for.
enum class Measure : std::uint8_t { rank, delivery, storage, forbearance, added, gain, added_gain, cost };
inline constexpr std::size_t kMeasures = 8;

struct ComparedTable {
    std::string name;                    // "parcels" or "roofs"
    std::string noun;                    // "parcel" or "roof"
    std::vector<Column> columns;         // without those that only one file has
    std::vector<std::string> names;      // of the columns, as readers take them
    std::vector<ChangeStep> steps;       // of the columns
    std::vector<std::string> only_some;  // columns of the program that one of the files lacks
    std::size_t id = 0;                  // positions among the columns
    std::array<std::optional<std::size_t>, kMeasures> measures{};
    // By what a change is large: the volume replaced each season (of parcels what is added) and what of it the creek
    // feels.
    std::size_t volume = 0;
    std::size_t gain = 0;
    std::size_t storage = 0;
    std::optional<std::size_t> rank{};
    std::optional<std::size_t> contact{};
    std::optional<std::size_t> parcel{};  // of a roof
    // Of parcels: the columns that list roofs, and the roofs that have another identifier now, by the one before.
    std::vector<std::size_t> roof_lists{};
    std::map<std::string, std::string> renamed_roofs{};

    [[nodiscard]] std::optional<std::size_t> place(Measure measure) const {
        return measures.at(static_cast<std::size_t>(measure));
    }
};

// `before`, `after`: the files' names, for messages. A table or one of the columns that the comparison is told by
// missing in a file: an input error, the file was made by another version.
[[nodiscard]] ComparedTable compared_parcels(const ResultReader& before, const ResultReader& after,
                                             const std::string& before_name, const std::string& after_name);
[[nodiscard]] ComparedTable compared_roofs(const ResultReader& before, const ResultReader& after,
                                           const std::string& before_name, const std::string& after_name);

// The column of a measure as it is known outside: name, unit, title.
[[nodiscard]] const Field& field_of(Measure measure);

// Whether a column holds the same: texts and whole numbers exactly, real numbers to a billionth of their size, which is
// less than any change of a setting or of the data makes and more than two libraries differ by.
[[nodiscard]] bool same_value(const Value& before, const Value& after);

// Positions of the columns in which two rows differ; the id is none of them. Values in the order of the table's
// columns. Lists of the same roofs are the same, in whatever order, and whatever the roofs were called before.
[[nodiscard]] std::vector<std::size_t> changed_columns(const ComparedTable& table, const std::vector<Value>& before,
                                                       const std::vector<Value>& after);
[[nodiscard]] ChangeSteps steps_of(const ComparedTable& table, const std::vector<std::size_t>& columns);

// A finite number of either kind; none for anything else.
[[nodiscard]] std::optional<double> number_in(const Value& value);
// A text or a whole number as text; empty for anything else.
[[nodiscard]] std::string text_in(const Value& value);

}  // namespace eaveshed
