// Rows from plain values by column name: the inverse of values.hpp, for files that were written before.
#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/record/parcel_option_row.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/record/reach_row.hpp"
#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/record/scenario_row.hpp"
#include "eaveshed/record/subbasin_row.hpp"
#include "eaveshed/record/values.hpp"

namespace eaveshed {

// A column that is missing, null, or of a kind or with a word that it cannot have leaves its member as it is by
// default: the file may come from anywhere.
[[nodiscard]] ParcelRow parcel_from(const std::map<std::string, Value>& values);

// The same for many rows of one table, whose columns have these names: where each stands is found once. But a word, or
// a number that is not finite, in a column of real numbers is an input error with file, table, column and row: it would
// be taken for nothing known. For RoofRow, ParcelRow, ParcelOptionRow, ScenarioRow, ReachRow and SubbasinRow.
template <typename Row>
class RowReader {
public:
    RowReader(std::string file, const std::vector<std::string>& names);
    // `values` in the order of the names.
    [[nodiscard]] Row operator()(const std::vector<Value>& values) const;

private:
    struct Number {
        std::size_t place = 0;
        std::string_view name;
    };
    std::string m_file;
    std::vector<std::size_t> m_places;  // by member: of its column, or one beyond all
    std::vector<Number> m_numbers;      // the columns of real numbers that are there
};

extern template class RowReader<RoofRow>;
extern template class RowReader<ParcelRow>;
extern template class RowReader<ParcelOptionRow>;
extern template class RowReader<ScenarioRow>;
extern template class RowReader<ReachRow>;
extern template class RowReader<SubbasinRow>;

}  // namespace eaveshed
