#include "eaveshed/result/read_values.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <limits>

#include "eaveshed/record/columns.hpp"
#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using testing::expect_input_error;

ParcelRow sample() {
    ParcelRow row;
    row.parcel_id = "A";
    row.parcel_status = ParcelStatus::ok;
    row.contact_status = ContactStatus::declined;
    row.flags.add(Flag::default_eave);
    row.flags.add(Flag::score_partial);
    row.roof_count = 3;
    row.connected_roofs = "R1,R2";
    row.forbearance_m3 = 41.5;
    row.delivery = Delivery::pumped_feed;
    row.no_pad_reason = PadReason::slope;
    row.rank = 7;
    row.rank_scenario = "dry";
    return row;
}

std::vector<Value> values(const ParcelRow& row) {
    std::vector<Value> all;
    values_of(row, all);
    return all;
}

std::vector<std::string> names() {
    std::vector<std::string> all;
    for (const Column& column : columns_of<ParcelRow>()) {
        all.emplace_back(column.field.name);
    }
    return all;
}

TEST(RowReader, GivesTheRowBack) {
    const RowReader<ParcelRow> reader("f", names());
    EXPECT_EQ(values(reader(values(sample()))), values(sample()));
    EXPECT_EQ(values(reader(values(ParcelRow{}))), values(ParcelRow{}));
}

TEST(RowReader, FindsColumnsByNameWhereverTheyStand) {
    std::vector<std::string> turned = names();
    std::vector<Value> row = values(sample());
    turned.insert(turned.begin() + 4, "geom");
    row.insert(row.begin() + 4, Value());
    std::ranges::reverse(turned);
    std::ranges::reverse(row);
    EXPECT_EQ(values(RowReader<ParcelRow>("f", turned)(row)), values(sample()));
}

TEST(RowReader, LeavesWhatIsMissingOrMeansNothingAsItIs) {
    const RowReader<ParcelRow> reader("f", {"parcel_id", "forbearance_m3", "delivery", "rank", "flags"});
    const ParcelRow row = reader({Value(std::string("B")), Value(), Value(std::string("by boat")), Value(-1.5),
                                  Value(std::string("nonsense,overlaps"))});
    EXPECT_EQ(row.parcel_id, "B");
    EXPECT_EQ(row.forbearance_m3, std::nullopt);
    EXPECT_EQ(row.delivery, std::nullopt);
    EXPECT_EQ(row.rank, std::nullopt);
    EXPECT_EQ(to_text(row.flags), "overlaps");
    EXPECT_EQ(row.contact_status, ContactStatus::candidate);
}

TEST(RowReader, AWordWhereANumberBelongsIsToldWithFileTableColumnAndRow) {
    const RowReader<ParcelRow> reader("out.gpkg", {"added_gain_lps", "parcel_id", "cost"});
    const auto refused = [&](const Value& gain, const Value& id, const std::vector<std::string>& parts) {
        expect_input_error([&] { (void)reader({gain, id, Value()}); }, parts);
    };
    refused(std::string("mu\x1b[31mch"), std::string("B"),
            {"out.gpkg, table parcels, column added_gain_lps, row \"B\"", "the text \"mu"});
    refused(std::numeric_limits<double>::infinity(), Value(), {"row \"\"", "no finite number"});
    EXPECT_EQ(reader({Value(std::int64_t{2}), Value(std::string("B")), Value(1.5)}).added_gain_lps, 2.0);
    expect_input_error([] { (void)RowReader<ParcelRow>("f", {"cost"})({Value(std::string("x"))}); },
                       {"column cost", "row \"\""});
}

TEST(RowReader, ReadsAsTheReaderOfOneRowDoes) {
    std::map<std::string, Value> by_name;
    const auto columns = names();
    const auto row = values(sample());
    for (std::size_t i = 0; i < columns.size(); ++i) {
        by_name.emplace(columns[i], row[i]);
    }
    EXPECT_EQ(values(parcel_from(by_name)), values(sample()));
}

}  // namespace
}  // namespace eaveshed
