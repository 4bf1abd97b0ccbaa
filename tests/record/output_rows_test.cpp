#include "eaveshed/record/output_rows.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace eaveshed {
namespace {

using namespace column_checks;

constexpr Field kA{"a", "m", "A", "A."};
constexpr Field kB{"b", "", "B", "B."};
constexpr Field kC{"c", "m", "C", "C."};

struct Whole {
    std::string b;
    std::optional<double> a;
    std::optional<double> c;
    static constexpr auto list_columns(auto&& use) {
        return use(column(&Whole::b, kB), column(&Whole::a, kA), column(&Whole::c, kC));
    }
};

struct WithoutTheLast {
    std::string b;
    std::optional<double> a;
    std::optional<GravityCheck> c;
    static constexpr auto list_columns(auto&& use) {
        return use(column(&WithoutTheLast::b, kB), column(&WithoutTheLast::a, kA));
    }
};

struct WithoutOneBetween {
    std::optional<double> a;
    std::optional<double> b;
    std::optional<double> c;
    static constexpr auto list_columns(auto&& use) {
        return use(column(&WithoutOneBetween::a, kA), column(&WithoutOneBetween::c, kC));
    }
};

struct OutOfOrder {
    std::string b;
    std::optional<double> a;
    static constexpr auto list_columns(auto&& use) {
        return use(column(&OutOfOrder::a, kA), column(&OutOfOrder::b, kB));
    }
};

struct Placed {
    Point place;
    bool a = false;
    static constexpr auto list_columns(auto&& use) { return use(column(&Placed::a, kA)); }
};

TEST(ColumnChecks, AListHasEveryMemberOfItsRow) {
    static_assert(every_member_is_listed<Whole>());
    static_assert(every_member_is_listed<Placed>());
    static_assert(!every_member_is_listed<WithoutTheLast>());
    static_assert(!every_member_is_listed<WithoutOneBetween>());
    static_assert(!every_member_is_listed<OutOfOrder>());
}

struct OneMemberTwice {
    std::optional<double> a;
    std::optional<double> c;
    static constexpr auto list_columns(auto&& use) {
        return use(column(&OneMemberTwice::a, kA), column(&OneMemberTwice::a, kC));
    }
};

struct OneNameTwice {
    std::optional<double> a;
    std::optional<double> c;
    static constexpr auto list_columns(auto&& use) {
        return use(column(&OneNameTwice::a, kA), column(&OneNameTwice::c, kA));
    }
};

TEST(ColumnChecks, NoColumnAndNoMemberStandsTwice) {
    static_assert(no_column_stands_twice<Whole>());
    static_assert(!no_column_stands_twice<OneMemberTwice>());
    static_assert(!no_column_stands_twice<OneNameTwice>());
}

enum class Unlisted : std::uint8_t { one, two };

struct WithUnlisted {
    std::optional<Unlisted> a;
    static constexpr auto list_columns(auto&& use) { return use(column(&WithUnlisted::a, kA)); }
};

struct WithUnknownWords {
    std::string a;
    static constexpr auto list_columns(auto&& use) {
        return use(column(&WithUnknownWords::a, {"a", "", "A", "A.", FilledBy::plan, "no_such_list"}));
    }
};

TEST(ColumnChecks, WordsNeedAListThatTheFileHolds) {
    static_assert(every_list_is_in_the_file<OverrideRow>());
    static_assert(!every_list_is_in_the_file<WithUnknownWords>());
    static_assert(every_list_is_in_the_file<WithoutTheLast>());
    static_assert(!every_list_is_in_the_file<WithUnlisted>());
}

template <FilledBy kFiller>
struct WithAText {
    static constexpr Table kTable{.name = "t", .title = "T", .meaning = "T.", .filled_by = kFiller, .rows = "T."};
    std::optional<std::string> a;
    std::optional<double> c;
    static constexpr auto list_columns(auto&& use) { return use(column(&WithAText::a, kA), column(&WithAText::c, kC)); }
};

TEST(ColumnChecks, ATileFillsNoText) {
    static_assert(the_spool_keeps_what_a_tile_fills<WithAText<FilledBy::gather>>());
    static_assert(!the_spool_keeps_what_a_tile_fills<WithAText<FilledBy::tile>>());
}

TEST(OutputRows, TablesStandInTheOrderOfTheFile) {
    std::vector<std::string_view> names;
    for (const OutputTable& output : output_tables()) {
        names.push_back(output.table.name);
    }
    EXPECT_THAT(names, ::testing::ElementsAre("roofs", "pads", "pad_ground", "pipes", "use_points", "parcels",
                                              "storage_curve", "parcel_options", "reaches", "subbasins", "scenarios",
                                              "overrides", "run_record"));
    EXPECT_EQ(output_tables()[kTableOf<ScenarioRow>].table.name, "scenarios");
    EXPECT_EQ(output_tables()[kTableOf<ScenarioRow>].columns.size(), 16U);
}

TEST(OutputRows, ColumnsKnowTheirNameFillerAndWords) {
    EXPECT_EQ(column_name(&RoofRow::forbearance_m3), "forbearance_m3");
    const auto columns = columns_of<RoofRow>();
    EXPECT_EQ(columns[0].filled_by, FilledBy::plan);
    EXPECT_EQ(columns[2].field.name, "status");
    EXPECT_EQ(columns[2].filled_by, FilledBy::tile);
    EXPECT_EQ(columns[2].list.terms.size(), terms_of<Status>().size());
    EXPECT_TRUE(columns[3].several);
    EXPECT_EQ(columns[4].list.terms.size(), 0U);
    EXPECT_EQ(columns_of<OverrideRow>().front().filled_by, FilledBy::overrides);
}

TEST(OutputRows, ATextMayHoldTheWordsOfAList) {
    const auto columns = columns_of<OverrideRow>();
    const auto status = std::ranges::find_if(
        columns, [](const Column& column) { return column.field.name == std::string_view("contact_status"); });
    ASSERT_NE(status, columns.end());
    EXPECT_EQ(status->type, ColumnType::text);
    EXPECT_EQ(status->list.name, "contact_status");
}

}  // namespace
}  // namespace eaveshed
