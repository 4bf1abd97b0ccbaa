#include "eaveshed/record/row_batch.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <utility>

namespace eaveshed {
namespace {

std::vector<Value> values_in(const RowBatch& batch, std::size_t position) {
    std::vector<Value> values;
    std::ranges::transform(batch.row(position).values, std::back_inserter(values), value_of);
    return values;
}

// Something in every column, or in every second one.
template <typename Row>
Row filled(std::size_t step) {
    Row row;
    std::size_t column = 0;
    visit_fields(row, [&](const Field& field, auto& member) {
        using Member = std::remove_cvref_t<decltype(member)>;
        if (column++ % step != 0) {
            return;
        }
        if constexpr (std::is_same_v<ValueOf<Member>, std::string>) {
            member = "text of " + std::string(field.name);
        } else if constexpr (std::is_same_v<Member, Flags>) {
            member.add(Flag::measured);
            member.add(Flag::coarse_elevation);
        } else {
            member = static_cast<ValueOf<Member>>(1);
        }
    });
    return row;
}

template <typename Row>
void expect_values_of(std::size_t step) {
    RowBatch batch;
    std::vector<Value> plain;
    {
        const Row row = filled<Row>(step);
        values_of(row, plain);
        batch.begin(kTableOf<Row>);
        batch.put_columns(row);
        batch.begin(kTableOf<Row>);
        batch.put_columns(Row{});
    }
    EXPECT_EQ(values_in(batch, 0), plain);
    values_of(Row{}, plain);
    EXPECT_EQ(values_in(batch, 1), plain);
}

TEST(RowBatch, HoldsOfEveryTableWhatValuesOfGives) {
    for (const std::size_t step : {1U, 2U}) {
        expect_values_of<RoofRow>(step);
        expect_values_of<PadRow>(step);
        expect_values_of<PadGroundRow>(step);
        expect_values_of<PipeRow>(step);
        expect_values_of<UsePointRow>(step);
        expect_values_of<ParcelRow>(step);
        expect_values_of<CurveRow>(step);
        expect_values_of<ParcelOptionRow>(step);
        expect_values_of<ReachRow>(step);
        expect_values_of<SubbasinRow>(step);
        expect_values_of<ScenarioRow>(step);
        expect_values_of<OverrideRow>(step);
        expect_values_of<RunRecordRow>(step);
    }
}

TEST(RowBatch, RowsStayAsTheyWereHoweverManyFollowAndWhereverTheBatchGoes) {
    constexpr std::size_t kRows = 1000;
    RowBatch made;
    for (std::size_t i = 0; i < kRows; ++i) {
        made.begin(i % 3);
        made.put(std::string_view(std::to_string(i)));
        made.put(static_cast<double>(i));
        const std::vector<unsigned char> geometry(i % 50, static_cast<unsigned char>(i));
        if (i % 2 == 0) {
            made.put_geometry(geometry, {0.0, 0.0, 1.0, static_cast<double>(i)});
        }
    }
    const RowBatch batch = std::move(made);
    ASSERT_EQ(batch.size(), kRows);
    for (std::size_t i = 0; i < kRows; ++i) {
        const RowBatch::Row row = batch.row(i);
        EXPECT_EQ(row.layer, i % 3);
        EXPECT_EQ(values_in(batch, i), (std::vector<Value>{std::to_string(i), static_cast<double>(i)}));
        EXPECT_EQ(row.geometry.size(), i % 2 == 0 ? i % 50 : 0);
        EXPECT_TRUE(std::ranges::all_of(row.geometry, [i](unsigned char byte) { return byte == i % 256; }));
        EXPECT_EQ(row.box.empty(), i % 2 != 0);
    }
}

}  // namespace
}  // namespace eaveshed
