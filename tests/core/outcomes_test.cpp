#include "eaveshed/core/outcomes.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

namespace eaveshed {
namespace {

template <std::size_t N>
std::vector<std::string> names(const std::array<Term, N>& terms) {
    std::vector<std::string> list;
    for (const Term& term : terms) {
        EXPECT_FALSE(term.meaning.empty()) << term.name;
        list.emplace_back(term.name);
    }
    return list;
}

// The closed lists as the file contract has them.
TEST(Outcomes, TheListsAreThoseOfTheContract) {
    using Names = std::vector<std::string>;
    EXPECT_EQ(names(terms_of<Status>()), (Names{"bad_geometry", "duplicate", "too_small", "no_rain", "ok"}));
    EXPECT_EQ(names(terms_of<Flag>()),
              (Names{"assumed_dry_winter", "assumed_share",     "assumed_use_point", "check_permit",
                     "coarse_elevation",   "default_connected", "default_demand",    "default_eave",
                     "default_et0",        "default_material",  "dem_gap",           "mean_year_only",
                     "measured",           "no_elevation",      "overlaps",          "rain_filled",
                     "read_error",         "repaired",          "score_partial",     "seldom_full",
                     "short_record",       "smaller_storage",   "text_replaced",     "unknown_source"}));
    EXPECT_EQ(names(terms_of<LimitedBy>()), (Names{"demand", "tank", "roof"}));
    EXPECT_EQ(names(terms_of<Delivery>()),
              (Names{"gravity", "low_pressure", "pumped_feed", "pumped_fill", "no_pad", "no_use"}));
    EXPECT_EQ(names(terms_of<GravityCheck>()), (Names{"yes", "no", "cannot_tell"}));
    EXPECT_EQ(names(terms_of<Arrangement>()), (Names{"single", "cluster", "row"}));
    EXPECT_EQ(names(terms_of<ContactStatus>()), (Names{"candidate", "contacted", "interested", "visit_booked",
                                                       "visited", "enrolled", "declined", "do_not_contact"}));
    EXPECT_EQ(names(terms_of<PadReason>()),
              (Names{"elevation_gap", "slope", "cut", "parcel", "boundary_setback", "building_setback",
                     "stream_setback", "exclusion", "lift", "feed_lift", "no_use_point", "no_elevation"}));
}

TEST(Outcomes, EveryListAndTermIsExplained) {
    for (const ClosedList& list : kOutputLists) {
        EXPECT_FALSE(list.name.empty());
        ASSERT_FALSE(list.meaning.empty()) << list.name;
        EXPECT_TRUE(list.meaning.front() >= 'a' && list.meaning.front() <= 'z') << list.name;
        for (const Term& term : list.terms) {
            EXPECT_FALSE(term.name.empty()) << list.name;
            EXPECT_FALSE(term.meaning.empty()) << term.name;
        }
    }
}

TEST(Outcomes, EveryValueHasItsName) {
    EXPECT_EQ(to_text(Status::bad_geometry), "bad_geometry");
    EXPECT_EQ(to_text(Status::ok), "ok");
    EXPECT_EQ(to_text(Flag::assumed_dry_winter), "assumed_dry_winter");
    EXPECT_EQ(to_text(Flag::rain_filled), "rain_filled");
    EXPECT_EQ(to_text(Flag::unknown_source), "unknown_source");
    EXPECT_EQ(to_text(LimitedBy::roof), "roof");
    EXPECT_EQ(to_text(Delivery::no_use), "no_use");
    EXPECT_EQ(to_text(GravityCheck::cannot_tell), "cannot_tell");
    EXPECT_EQ(to_text(PadReason::elevation_gap), "elevation_gap");
    EXPECT_EQ(to_text(PadReason::no_elevation), "no_elevation");
}

TEST(Outcomes, FlagsAreWrittenSortedWhateverTheOrderInWhichTheyCame) {
    Flags flags;
    EXPECT_EQ(to_text(flags), "");
    flags.add(Flag::unknown_source);
    flags.add(Flag::default_et0);
    flags.add(Flag::default_et0);
    EXPECT_EQ(to_text(flags), "default_et0,unknown_source");
    Flags others;
    others.add(Flag::check_permit);
    flags.add(others);
    EXPECT_EQ(to_text(flags), "check_permit,default_et0,unknown_source");
    EXPECT_TRUE(flags.has(Flag::check_permit));
    EXPECT_FALSE(flags.has(Flag::repaired));
    EXPECT_EQ(Flags(flags.bits()), flags);
    EXPECT_EQ(flags_from_text(to_text(flags)), flags);
    EXPECT_EQ(flags_from_text(",nonsense,overlaps,"), flags_from_text("overlaps"));
    EXPECT_EQ(flags_from_text(""), Flags());
}

TEST(Outcomes, TheOrderOfTheFlagsIsThatOfTheirNames) {
    const auto list = names(terms_of<Flag>());
    EXPECT_TRUE(std::is_sorted(list.begin(), list.end()));
}

}  // namespace
}  // namespace eaveshed
