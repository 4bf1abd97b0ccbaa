#include "eaveshed/fieldbook/override_table.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/vector/field_text.hpp"
#include "eaveshed/vector/vector_source.hpp"
#include "support/expect_error.hpp"
#include "support/sample_facts.hpp"
#include "support/temp_folder.hpp"
#include "support/vector_file.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;
using testing::TempFolder;

struct Read {
    OverrideTable table;
    std::string warnings;
    [[nodiscard]] const OverrideEntry& at(std::size_t i) const { return table.entries.at(i); }
};

OverrideTable table_of(const std::string& path, Findings& findings) {
    auto source = VectorSource::open("overrides", {path, ""}, {}, "", findings);
    return read_override_table(source, findings);
}

Read read(const std::string& path) {
    Findings findings;
    Read found{table_of(path, findings), {}};
    for (const Finding& finding : findings.list()) {
        found.warnings += to_text(finding.trouble) + '\n';
    }
    return found;
}

Read read_csv(const std::string& text) {
    const TempFolder folder;
    return read(folder.write("measured.csv", text));
}

TEST(OverrideTable, ReadsColumnsByNameInAnyOrderAndCase) {
    const Read found = read_csv(
        "Season_Use_m3,parcel_ID,ROOF_ID,eave_height_m,Material,date,who,note\n"
        ",,R1,2.4,metal,2026-06-01,Ada,call again\n"
        "31.5,P1,,,,,,\n");
    EXPECT_THAT(found.warnings, IsEmpty());
    ASSERT_EQ(found.table.entries.size(), 2U);
    const OverrideRow& roof = found.at(0).row;
    EXPECT_EQ(roof.row_number, 1);
    EXPECT_EQ(roof.roof_id, "R1");
    EXPECT_FALSE(roof.parcel_id);
    EXPECT_EQ(roof.eave_height_m, 2.4);
    EXPECT_EQ(roof.material, "metal");
    EXPECT_EQ(roof.date, "2026-06-01");
    EXPECT_FALSE(roof.outcome);
    EXPECT_EQ(found.at(1).row.parcel_id, "P1");
    EXPECT_EQ(found.at(1).row.season_use_m3, 31.5);
    EXPECT_FALSE(found.at(1).row.outcome);
}

TEST(OverrideTable, ValuesThatCannotBeUsedStayWithTheirRowAndSayWhatIsWanted) {
    const Read found = read_csv(
        "roof_id,parcel_id,eave_height_m,connected_share,people,pad_x,pad_y\n"
        "R1,,\"2,400\",0.5,,,\n"
        "R2,,0,1.5,,500000,\n"
        "R3,,2.5,,4,,\n"
        ",P1,2.5,,4,,\n");
    const auto& first = found.at(0);
    ASSERT_EQ(first.unused.size(), 1U);
    EXPECT_EQ(first.unused[0].column, "eave_height_m");
    EXPECT_EQ(first.unused[0].found, "2,400");
    EXPECT_EQ(first.unused[0].wanted, "a number above 0 to 1000 in m, or with its own unit of length");
    EXPECT_FALSE(first.row.eave_height_m);
    EXPECT_EQ(first.row.connected_share, 0.5);
    EXPECT_FALSE(first.row.outcome);
    // Nothing of the second row is left: a height of nothing, more than all, half a place.
    EXPECT_EQ(found.at(1).row.outcome, OverrideOutcome::not_usable);
    EXPECT_EQ(found.at(1).unused.size(), 3U);
    EXPECT_FALSE(found.at(1).row.pad_x);
    EXPECT_THAT(found.at(1).unused.back().wanted, HasSubstr("pad_x and pad_y together"));
    // A value under the wrong key.
    ASSERT_EQ(found.at(2).unused.size(), 1U);
    EXPECT_EQ(found.at(2).unused[0].column, "people");
    EXPECT_THAT(found.at(2).unused[0].wanted, HasSubstr("parcel_id"));
    EXPECT_EQ(found.at(2).row.eave_height_m, 2.5);
    EXPECT_THAT(found.at(3).unused.at(0).wanted, HasSubstr("roof_id"));
    EXPECT_EQ(found.at(3).row.people, 4.0);
    OverrideEntry entry = found.at(1);
    write_unused(entry);
    EXPECT_EQ(entry.row.unused, "eave_height_m=0; connected_share=1.5; pad_x=500000");
}

TEST(OverrideTable, QuantitiesMayHaveTheirOwnUnit) {
    constexpr double kGallonM3 = 0.003785411784;
    const Read found = read_csv(
        "roof_id,parcel_id,eave_height_m,season_use_m3,pump_lps,irrigated_area_m2\n"
        "R1,,2.6 m,,,\n"
        "R2,,\"8.5ft\",,,\n"
        "R3,,\" 5 \",,,\n"
        ",P1,,250000 gal,5 gpm,0.1 acre\n"
        ",P2,,946.352946,,\n");
    EXPECT_EQ(found.at(0).row.eave_height_m, 2.6);
    EXPECT_DOUBLE_EQ(found.at(1).row.eave_height_m.value(), 8.5 * 0.3048);
    EXPECT_EQ(found.at(2).row.eave_height_m, 5.0);
    EXPECT_DOUBLE_EQ(found.at(3).row.season_use_m3.value(), 250000.0 * kGallonM3);
    EXPECT_DOUBLE_EQ(found.at(3).row.pump_lps.value(), 5.0 * kGallonM3 * 1000.0 / 60.0);
    EXPECT_DOUBLE_EQ(found.at(3).row.irrigated_area_m2.value(), 404.68564224);
    EXPECT_EQ(found.at(4).row.season_use_m3, 946.352946);
    for (const OverrideEntry& entry : found.table.entries) {
        EXPECT_THAT(entry.unused, IsEmpty());
    }
}

// The range is that of the quantity, whatever its unit.
TEST(OverrideTable, QuantitiesThatCannotBeReadStayUnusedWithTheirRow) {
    for (const char* const text : {"12 parsecs", "1e999 gal", "\"1,000 gal\"", "5 m2", "5 gal 2", "gal", "1e9 gal m3",
                                   "99999999999 gal", "-1 gal", "about 5"}) {
        const Read found = read_csv(std::string("parcel_id,season_use_m3\nP1,") + text + "\n");
        ASSERT_EQ(found.at(0).unused.size(), 1U) << text;
        EXPECT_EQ(found.at(0).unused[0].column, "season_use_m3");
        EXPECT_THAT(found.at(0).unused[0].wanted, HasSubstr("in m3, or with its own unit of volume")) << text;
        EXPECT_FALSE(found.at(0).row.season_use_m3) << text;
    }
}

// The row of a table that holds these facts alone, in a row of a roof or of a parcel.
template <typename Facts>
Read read_facts(const Facts& facts, bool of_roof) {
    std::string titles = "roof_id,parcel_id";
    std::string cells = of_roof ? "R1," : ",P1";
    visit_measurable<Facts>(facts, [&](const auto& fact, const auto& value) {
        if (!value) {
            return;
        }
        titles += "," + std::string(fact.column());
        if constexpr (std::is_same_v<decltype(value), const std::optional<double>&>) {
            cells += "," + real_text(*value);
        } else {
            cells += "," + *value;
        }
    });
    return read_csv(titles + "\n" + cells + "\n");
}

// The facts of a row of the table: one, or the two numbers of a place; without those that cannot be measured.
template <typename Facts>
std::vector<Facts> one_by_one() {
    std::vector<Facts> all;
    bool second = false;  // number of a place
    for (const KnownFact<Facts>& fact : FactsOf<Facts>::table) {
        if (!second) {
            all.emplace_back();
        }
        std::visit([&](auto member) { all.back().*member = testing::sample_facts<Facts>().*member; }, fact.member);
        second = fact.coordinate && !second;
    }
    std::erase_if(all, [](const Facts& facts) { return !any_measurable(facts); });
    return all;
}

template <typename Facts>
class EveryMeasuredFact : public ::testing::Test {};
using BothTables = ::testing::Types<RoofFacts, ParcelFacts>;
TYPED_TEST_SUITE(EveryMeasuredFact, BothTables);

TYPED_TEST(EveryMeasuredFact, IsReadFromItsColumnAlone) {
    constexpr bool kOfRoof = std::is_same_v<TypeParam, RoofFacts>;
    for (const TypeParam& facts : one_by_one<TypeParam>()) {
        const Read found = read_facts(facts, kOfRoof);
        EXPECT_THAT(found.warnings, IsEmpty());
        EXPECT_THAT(found.at(0).unused, IsEmpty());
        EXPECT_FALSE(found.at(0).row.outcome);
        EXPECT_EQ(static_cast<const TypeParam&>(found.at(0).row), facts);
    }
}

TYPED_TEST(EveryMeasuredFact, IsOfNoUseInARowOfTheOtherKind) {
    constexpr bool kOfRoof = std::is_same_v<TypeParam, RoofFacts>;
    for (const TypeParam& facts : one_by_one<TypeParam>()) {
        const Read found = read_facts(facts, !kOfRoof);
        EXPECT_EQ(found.at(0).row.outcome, OverrideOutcome::not_usable);
        ASSERT_FALSE(found.at(0).unused.empty());
        EXPECT_THAT(found.at(0).unused[0].wanted, HasSubstr(kOfRoof ? "roof_id" : "parcel_id"));
        EXPECT_EQ(static_cast<const TypeParam&>(found.at(0).row), TypeParam());
    }
}

TYPED_TEST(EveryMeasuredFact, OutsideItsRangeStaysUnusedWithItsRow) {
    for (const KnownFact<TypeParam>& fact : FactsOf<TypeParam>::table) {
        const auto* const member = std::get_if<std::optional<double> TypeParam::*>(&fact.member);
        if (member == nullptr || !fact.measurable) {
            continue;
        }
        for (const double value : {fact.range.high * 1.01, fact.range.low - 0.01}) {
            TypeParam facts;
            facts.** member = value;
            const Read found = read_facts(facts, std::is_same_v<TypeParam, RoofFacts>);
            ASSERT_EQ(found.at(0).unused.size(), 1U) << fact.name;
            EXPECT_EQ(found.at(0).unused[0].column, fact.column());
            EXPECT_THAT(found.at(0).unused[0].wanted, HasSubstr("a number")) << fact.name;
            EXPECT_EQ(static_cast<const TypeParam&>(found.at(0).row), TypeParam());
        }
    }
}

TEST(OverrideTable, NumbersMayHaveADecimalCommaOrBePercent) {
    const Read found = read_csv(
        "roof_id;eave_height_m;connected_share;pad_x;pad_y\nR1;2,4;75 %;500000,5;4190000,25\n"
        "R2;7,5 ft;0,5;;\n");
    EXPECT_EQ(found.at(0).row.eave_height_m, 2.4);
    EXPECT_EQ(found.at(0).row.connected_share, 0.75);
    EXPECT_EQ(found.at(0).row.pad_x, 500000.5);
    EXPECT_EQ(found.at(0).row.pad_y, 4190000.25);
    EXPECT_DOUBLE_EQ(found.at(1).row.eave_height_m.value(), 2.286);
    EXPECT_EQ(found.at(1).row.connected_share, 0.5);
}

TEST(OverrideTable, ARowNamesOneRoofOrOneParcel) {
    const Read found = read_csv("roof_id,parcel_id,people,connected_share\nR1,P1,2,0.5\n,,2,0.5\n\" \",P1,2,\nR2,,,\n");
    EXPECT_EQ(found.at(0).row.outcome, OverrideOutcome::not_usable);
    EXPECT_THAT(*found.at(0).row.reason, HasSubstr("both"));
    EXPECT_EQ(found.at(1).row.outcome, OverrideOutcome::not_usable);
    EXPECT_THAT(*found.at(1).row.reason, HasSubstr("neither"));
    EXPECT_FALSE(found.at(2).row.outcome);
    EXPECT_EQ(found.at(3).row.outcome, OverrideOutcome::empty);
}

TEST(OverrideTable, AColumnThatNothingReadsIsAWarningWithTheNearestKnownOne) {
    const Read found = read_csv("roof_id,eave_hight_m,people,zebra\nR1,2.4,,x\n");
    EXPECT_THAT(found.warnings, HasSubstr("'eave_hight_m' (did you mean eave_height_m?)"));
    EXPECT_THAT(found.warnings, HasSubstr("'zebra'"));
}

TEST(OverrideTable, WithoutIdsOrValuesItIsAnError) {
    const TempFolder folder;
    Findings findings;
    testing::expect_input_error([&] { (void)table_of(folder.write("a.csv", "id,people\nR1,2\n"), findings); },
                                {"no column roof_id or parcel_id", "id, people"});
    testing::expect_input_error([&] { (void)table_of(folder.write("b.csv", "roof_id,date\nR1,2026\n"), findings); },
                                {"no column of values", "eave_height_m"});
    // Titles alone wait for their first row.
    EXPECT_THAT(table_of(folder.write("c.csv", "roof_id,eave_height_m\n"), findings).entries, IsEmpty());
}

TEST(OverrideTable, SemicolonsQuotesAndAByteOrderMarkAreRead) {
    const Read found = read_csv("\xEF\xBB\xBFroof_id;eave_height_m;note\r\n\"R;1\";2.4;\"two\r\nlines\"\r\n");
    ASSERT_EQ(found.table.entries.size(), 1U);
    EXPECT_EQ(found.at(0).row.roof_id, "R;1");
    EXPECT_EQ(found.at(0).row.eave_height_m, 2.4);
}

TEST(OverrideTable, ALayerGivesTheSameRowsAndItsPolygonsAreTheOldOutlines) {
    const TempFolder folder;
    testing::LayerToWrite layer{.name = "measured",
                                .fields = {{"roof_id"}, {"parcel_id"}, {"eave_height_m", OFTReal}, {"material"}}};
    layer.rows = {{testing::square_wkt(500000.0, 4000000.0, 10.0), {"R1", std::nullopt, "2.4", "metal"}},
                  {"", {"R2", std::nullopt, "3", std::nullopt}}};
    testing::write_vector("GPKG", folder.file("m.gpkg"), {layer});
    const Read found = read(folder.file("m.gpkg"));
    EXPECT_TRUE(found.table.info.crs.given());
    EXPECT_EQ(found.at(0).row.eave_height_m, 2.4);
    EXPECT_EQ(found.at(0).row.material, "metal");
    EXPECT_FALSE(found.at(0).outline.empty());
    EXPECT_EQ(found.at(1).row.eave_height_m, 3.0);
    EXPECT_TRUE(found.at(1).outline.empty());
}

}  // namespace
}  // namespace eaveshed
