#include "eaveshed/record/columns.hpp"

#include "eaveshed/record/curve_row.hpp"
#include "eaveshed/record/override_row.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/record/run_record_row.hpp"
#include "eaveshed/record/scenario_row.hpp"
#include "eaveshed/record/use_point_row.hpp"

namespace eaveshed {

namespace {

template <typename Row>
std::vector<Column> columns_of() {
    std::vector<Column> columns;
    Row row;
    visit_fields(row, [&columns]<typename Member>(const Field& field, const Member&) {
        columns.push_back({field, column_type<Member>()});
    });
    return columns;
}

}  // namespace

std::vector<Column> roof_columns() {
    return columns_of<RoofRow>();
}
std::vector<Column> curve_columns() {
    return columns_of<CurveRow>();
}
std::vector<Column> pad_columns() {
    return columns_of<PadRow>();
}
std::vector<Column> parcel_columns() {
    return columns_of<ParcelRow>();
}
std::vector<Column> use_point_columns() {
    return columns_of<UsePointRow>();
}
std::vector<Column> scenario_columns() {
    return columns_of<ScenarioRow>();
}
std::vector<Column> override_columns() {
    return columns_of<OverrideRow>();
}
std::vector<Column> run_record_columns() {
    return columns_of<RunRecordRow>();
}

}  // namespace eaveshed
