// A row as a list of plain values, in column order: what a writer of any format takes.
#pragma once

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

#include "eaveshed/record/curve_row.hpp"
#include "eaveshed/record/override_row.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/record/run_record_row.hpp"
#include "eaveshed/record/scenario_row.hpp"
#include "eaveshed/record/use_point_row.hpp"

namespace eaveshed {

// std::monostate is null.
using Value = std::variant<std::monostate, std::string, double, std::int64_t>;

// `values` is replaced; keeping it between rows spares allocations.
void values_of(const RoofRow& row, std::vector<Value>& values);
void values_of(const CurveRow& row, std::vector<Value>& values);
void values_of(const PadRow& row, std::vector<Value>& values);
void values_of(const ParcelRow& row, std::vector<Value>& values);
void values_of(const UsePointRow& row, std::vector<Value>& values);
void values_of(const ScenarioRow& row, std::vector<Value>& values);
void values_of(const OverrideRow& row, std::vector<Value>& values);
void values_of(const RunRecordRow& row, std::vector<Value>& values);

}  // namespace eaveshed
