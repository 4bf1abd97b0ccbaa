// The page from hand-made sums and rows: what it says, in which units, and that it says nothing that is not known.
#include "eaveshed/summary/page.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

// Keys and values of a run over eight parcels.
class Page : public ::testing::Test {
protected:
    Page() {
        for (const Term& term : terms_of<Status>()) {
            m_record["count.status." + std::string(term.name)] = "0";
        }
        for (const Term& term : terms_of<Flag>()) {
            m_record["count.flag." + std::string(term.name)] = "0";
            m_record["sum.flag_forbearance_m3." + std::string(term.name)] = "0";
        }
        for (const Term& term : terms_of<PadReason>()) {
            m_record["count.no_pad_reason." + std::string(term.name)] = "0";
        }
        for (const Term& term : terms_of<Delivery>()) {
            m_record["count.candidates.delivery." + std::string(term.name)] = "0";
        }
        for (const Term& term : terms_of<GravityCheck>()) {
            m_record["count.candidates.gravity_check." + std::string(term.name)] = "0";
        }
        for (const Term& part : terms_of<HeadlinePart>()) {
            set_part(part.name, {});
        }
        m_record["headline.of"] = "parcels";
        set_part("creek", {2, 100.0, 80.0, 0.01});
        set_part("source_not_known", {1, 30.0, 0.0, 0.0});
        set_part("enrolled", {1, 50.0, 50.0, 0.006});
        set_part("no_place", {4, 20.0, 10.0, 0.001});
        set_part("all", {8, 200.0, 140.0, 0.017});
        set_part("roofs_in_no_parcel", {});
        m_record["count.rows"] = "12";
        m_record["count.status.ok"] = "10";
        m_record["count.status.too_small"] = "2";
        m_record["count.candidates.delivery.gravity"] = "2";
        m_record["count.candidates.delivery.pumped_fill"] = "1";
        m_record["count.candidates.gravity_check.yes"] = "1";
        m_record["count.no_pad_reason.slope"] = "3";
        m_record["sum.harvest_mean_m3"] = "812.4";
        m_record["sum.harvest_dependable_m3"] = "600.2";
        m_record["sum.forbearance_m3"] = "200";
        m_record["count.flag.default_demand"] = "4";
        m_record["sum.flag_forbearance_m3.default_demand"] = "50";
        m_record["rain.first_step"] = "1991-11-01";
        m_record["rain.last_day"] = "2014-10-31";
        m_record["rain.complete_tank_years"] = "23";
        m_record["rain.first_tank_year"] = "1992";
        m_record["rain.last_tank_year"] = "2014";
        m_record["rain.mean_year_mm"] = "800";
        m_record["rain.mean_forbearance_mm"] = "44";
        m_record["rain.forbearance_share"] = "0.055";
        m_record["terrain.cell_m"] = "1";
        m_record["terrain.rmse_m"] = "0.15";
        m_settings.basin.name = "Test creek";
        m_settings.rain.kind = RainKind::daily;
        ParcelRow first;
        first.rank = 1;
        first.parcel_id = "A-1";
        first.storage_m3 = 37.8;
        first.tank_count = 2;
        first.added_forbearance_m3 = 35.24;
        first.added_gain_lps = 0.00443;
        first.cost = 12345.0;
        first.cost_per_m3 = 350.2;
        first.delivery = Delivery::gravity;
        first.gravity_check = GravityCheck::cannot_tell;
        first.rank_stability = 0.98;
        first.ask_first =
            "Ask where most of the water is used: it takes no pump if downhill, a pump if uphill. Ask what the "
            "roof is covered with: the gain is 0.1 L/s if gravel, 0.2 L/s if metal.";
        ParcelRow second = first;
        second.rank = 2;
        second.parcel_id = "B-2";
        second.cost = second.cost_per_m3 = second.rank_stability = std::nullopt;
        second.ask_first = std::nullopt;
        m_parcels = {first, second};
    }

    void set_part(std::string_view part, const HeadlineSum& sum) {
        const std::string key = "headline." + std::string(part);
        m_record[key + ".number"] = std::to_string(sum.number);
        m_record[key + ".forbearance_m3"] = std::to_string(sum.forbearance_m3);
        m_record[key + ".felt_m3"] = std::to_string(sum.felt_m3);
        m_record[key + ".felt_lps"] = std::to_string(sum.felt_lps);
    }
    [[nodiscard]] SummaryFacts facts() const {
        return {RecordFacts("out file.gpkg", {m_record.begin(), m_record.end()}), m_settings, m_parcels, m_roofs,
                m_streams};
    }
    [[nodiscard]] std::string page() const { return page_text(facts()); }

    std::map<std::string, std::string> m_record;
    Settings m_settings;
    std::vector<ParcelRow> m_parcels;
    std::vector<RoofRow> m_roofs;
    StreamSums m_streams;
};

// The line that begins so.
std::string line_of(const std::string& page, const std::string& begin) {
    std::istringstream lines(page);
    for (std::string line; std::getline(lines, line);) {
        if (line.find(begin) != std::string::npos) {
            return line;
        }
    }
    return "";
}

TEST_F(Page, AnswersWhatTheCreekWouldFeel) {
    EXPECT_THAT(page(), HasSubstr("What the creek would feel: 0.010 L/s more on average over Aug, Sep, Oct (80 m3 a "
                                  "season), if all 2\nparcels"));
    EXPECT_THAT(page(), HasSubstr("Volumes are dependable: reached in 80 % of the years."));
    EXPECT_THAT(line_of(page(), "can be asked: the creek"),
                HasSubstr("2             100              80         0.010"));
    EXPECT_THAT(line_of(page(), "  all "), HasSubstr("8             200             140         0.017"));
    EXPECT_EQ(line_of(page(), "declined"), "");  // parts of nothing are left out
}

TEST_F(Page, ListsTheRankingWithTheFirstQuestion) {
    m_settings.rank.top = 2;
    EXPECT_THAT(page(), HasSubstr("Whom to call first: the first 2 of 3 ranked parcels"));
    EXPECT_THAT(line_of(page(), "A-1"),
                AllOf(HasSubstr("2 x 18.9"), HasSubstr("35.2"), HasSubstr("0.0044"), HasSubstr("12300"),
                      HasSubstr("350"), HasSubstr("gravity"), HasSubstr("cannot tell"), HasSubstr("98 %")));
    EXPECT_THAT(page(), HasSubstr("Ask where most of the water is used: it takes no pump if downhill"));
    EXPECT_THAT(page(), Not(HasSubstr("Ask what the")));
    EXPECT_THAT(line_of(page(), "B-2"), Not(HasSubstr(" 0 ")));
    EXPECT_THAT(page(), HasSubstr("cost -: not known"));
}

TEST_F(Page, SaysWhatTheAnswersRestOn) {
    EXPECT_THAT(line_of(page(), "people or garden"), AllOf(HasSubstr("40 %"), HasSubstr("25 %")));
    EXPECT_EQ(line_of(page(), "eave height assumed"), "");
    EXPECT_THAT(page(), HasSubstr("Rain: days from 1991-11-01 to 2014-10-31, 23 tank years (1992 to 2014); in the "
                                  "middle of the basin"));
    EXPECT_THAT(page(), HasSubstr("6 % of it in Aug, Sep, Oct"));
    EXPECT_THAT(page(), HasSubstr("0.150 m is taken"));
    m_record["count.flag.default_eave"] = "1";
    m_record["count.status.ok"] = "1000";
    EXPECT_THAT(line_of(page(), "eave height assumed"), HasSubstr("<1 %"));
    m_settings.terrain.rmse_m = 0.3;
    m_record["terrain.rmse_m"] = "0.3";
    EXPECT_THAT(page(), HasSubstr("their error is given as 0.300 m"));
}

TEST_F(Page, WhatIsNotKnownIsSaidAndNeverZero) {
    m_record["sum.harvest_dependable_m3"] = "not known";
    m_record["rain.mean_year_mm"] = "not known";
    m_record["rain.mean_forbearance_mm"] = "not known";
    m_record["rain.forbearance_share"] = "not known";
    m_settings.rain.kind = RainKind::monthly_normals;
    EXPECT_THAT(page(), HasSubstr("dependably not known"));
    EXPECT_THAT(page(), HasSubstr("what of it falls in Aug, Sep, Oct is not"));
    EXPECT_THAT(page(), HasSubstr("Volumes are those of a mean year"));
    EXPECT_THAT(page(), Not(HasSubstr("Volumes are dependable")));
    const auto json = nlohmann::json::parse(page_json(facts()));
    EXPECT_TRUE(json["roof_counts"]["harvest_dependable_m3"].is_null());
    EXPECT_TRUE(json["rests_on"]["rain"]["mean_year_mm"].is_null());
    EXPECT_TRUE(json["parcels"][1]["cost"].is_null());
    EXPECT_EQ(json["headline"]["volumes"], "mean");
}

TEST_F(Page, AssumedDryWintersAreNotCalledDependable) {
    m_settings.rain.kind = RainKind::monthly_normals;
    m_settings.rain.dry_winter_factor = 0.7;
    EXPECT_THAT(page(), AllOf(HasSubstr("an assumed dry winter, 0.7 of the mean year"), Not(HasSubstr("reached in"))));
}

// Of three that are ranked all are among the first 25: that they stay there says nothing.
TEST_F(Page, ToStayAmongTheFirstIsToldOnlyWhereMoreAreRanked) {
    m_settings.rank.top = 3;
    EXPECT_THAT(line_of(page(), "A-1"), Not(HasSubstr("98 %")));
}

TEST_F(Page, WhatTheCreekFeelsOfAnUnknownSourceIsNoZero) {
    m_parcels[1].flags.add(Flag::unknown_source);
    m_parcels[1].added_gain_lps = 0.0;
    EXPECT_THAT(line_of(page(), "B-2"), HasSubstr(" not known "));
}

TEST_F(Page, UsUnitsStandWhereTheProjectAsksForThem) {
    m_settings.output.units = OutputUnits::us;
    EXPECT_THAT(page(), AllOf(HasSubstr("0.16 gpm more on average"), HasSubstr("(21,134 gal a season)")));
    EXPECT_THAT(line_of(page(), "A-1"), AllOf(HasSubstr("2 x 5000"), HasSubstr("9310"), HasSubstr("0.070")));
    EXPECT_THAT(page(), Not(HasSubstr(" m3")));
    EXPECT_EQ(nlohmann::json::parse(page_json(facts()))["headline"]["all"]["forbearance_m3"], 200.0);
}

TEST_F(Page, WithoutParcelsItListsRoofsAndNoParcel) {
    m_record["headline.of"] = "roofs";
    RoofRow roof;
    roof.roof_id = "R7";
    roof.storage_m3 = 18.9;
    roof.tank_count = 1;
    roof.forbearance_m3 = 12.0;
    roof.instream_gain_lps = 0.0;
    roof.delivery = Delivery::pumped_feed;
    m_roofs = {roof};
    m_parcels.clear();
    EXPECT_THAT(line_of(page(), "R7"), AllOf(HasSubstr("18.9"), HasSubstr("12.0"), HasSubstr("pumped feed")));
    EXPECT_THAT(page(), AllOf(Not(HasSubstr("Whom to call")), HasSubstr("explain 'out file.gpkg' --roof R7"),
                              Not(HasSubstr("eaveshed rank"))));
    m_roofs.clear();
    EXPECT_THAT(page(), HasSubstr("No roof with a place for a tank"));
}

TEST_F(Page, TellsWhatEachCreekAndSubbasinWouldGet) {
    EXPECT_THAT(page(), Not(HasSubstr("lower end")));  // without streams nothing is said of them
    PartSum creek{.name = "Quill Creek",
                  .sum = {.number = 7, .unknown_source = 3, .added_forbearance_m3 = 321.4, .added_gain_lps = 0.04}};
    creek.end_reach_id = creek.outlet_reach_id = "R11";
    creek.end_gain_lps = 0.055;
    creek.end_low_flow_lps = 0.5;
    creek.low_flow_share = 0.11;
    PartSum other{.name = "", .sum = {.number = 2, .added_forbearance_m3 = 10.0, .added_gain_lps = 0.001}};
    other.outlet_reach_id = "R7";
    m_streams.creeks = {creek, other, {.name = "Dry Gulch"}};
    for (int i = 0; i < 13; ++i) {
        m_streams.subbasins.push_back(
            {.name = "W" + std::to_string(i), .sum = {.number = 1, .added_forbearance_m3 = 7.0}});
    }
    m_streams.no_reach = CandidateSum{.number = 4, .added_forbearance_m3 = 12.0};
    m_streams.no_subbasin = CandidateSum{};
    EXPECT_THAT(line_of(page(), "Quill Creek"), AllOf(HasSubstr(" 7 "), HasSubstr(" 3 "), HasSubstr(" 321 "),
                                                      HasSubstr("0.040"), HasSubstr("0.055"), HasSubstr("11 %")));
    EXPECT_THAT(line_of(page(), "no name, outlet R7"), HasSubstr(" -"));
    EXPECT_THAT(page(), Not(HasSubstr("Dry Gulch")));  // where nobody is to be asked
    EXPECT_THAT(page(), AllOf(HasSubstr("W9"), Not(HasSubstr("W10"))));
    EXPECT_THAT(line_of(page(), "and 3 more sub-basins"), AllOf(HasSubstr(" 3 "), HasSubstr(" 21 ")));
    EXPECT_THAT(line_of(page(), "entering no reach"), AllOf(HasSubstr(" 4 "), HasSubstr(" 12 ")));
    EXPECT_THAT(page(), AllOf(Not(HasSubstr("in no sub-basin")), HasSubstr("where there is no one end")));
    const auto json = nlohmann::json::parse(page_json(facts()));
    EXPECT_EQ(json["creeks"].size(), 3U);
    EXPECT_EQ(json["creeks"][0]["creek"], "Quill Creek");
    EXPECT_EQ(json["creeks"][0]["low_flow_share"], 0.11);
    EXPECT_TRUE(json["creeks"][1]["creek"].is_null());
    EXPECT_EQ(json["creeks"][1]["outlet_reach_id"], "R7");
    EXPECT_EQ(json["subbasins"].size(), 13U);
    EXPECT_EQ(json["creeks"][0]["source_not_known"], 3);
    EXPECT_EQ(json["entering_no_reach"]["candidates"], 4);
    EXPECT_EQ(json["in_no_subbasin"]["candidates"], 0);
}

TEST_F(Page, AGainThatIsKnownOfNobodyThereIsNotZero) {
    PartSum creek{.name = "Quill Creek", .sum = {.number = 5, .unknown_source = 5, .added_forbearance_m3 = 50.0}};
    creek.end_reach_id = creek.outlet_reach_id = "R11";
    m_streams.creeks = {creek};
    EXPECT_THAT(line_of(page(), "Quill Creek"),
                AllOf(::testing::ContainsRegex("not known +not known"), Not(HasSubstr("0.0")), Not(HasSubstr("%"))));
    const auto json = nlohmann::json::parse(page_json(facts()));
    EXPECT_TRUE(json["creeks"][0]["added_gain_lps"].is_null());
    EXPECT_TRUE(json["creeks"][0]["end_gain_lps"].is_null());
    EXPECT_TRUE(json["entering_no_reach"].is_null());
}

TEST_F(Page, WithoutParcelsStreamsHaveNoSumsAndThePageSaysSo) {
    m_record["headline.of"] = "roofs";
    EXPECT_THAT(page(), Not(HasSubstr("give [parcels]")));
    m_settings.streams.derive = true;
    EXPECT_THAT(page(), AllOf(HasSubstr("gains of parcels only: give [parcels]"), Not(HasSubstr("by creek\n")),
                              Not(HasSubstr("lower end"))));
    m_settings.streams.derive = false;
    m_settings.subbasins.from.source = "parts.gpkg";
    EXPECT_THAT(page(), HasSubstr("give [parcels]"));
}

TEST_F(Page, NobodyToCallIsSaid) {
    m_parcels.clear();
    for (const char* const part : {"creek", "source_not_known", "other_source"}) {
        set_part(part, {});
    }
    EXPECT_THAT(page(), AllOf(HasSubstr("Whom to call first: nobody"), HasSubstr("nothing that is known of")));
}

TEST_F(Page, FitsAHundredColumnsOfPlainText) {
    for (const OutputUnits units : {OutputUnits::si, OutputUnits::us}) {
        m_settings.output.units = units;
        m_settings.basin.name = std::string(200, 'x');
        m_streams.creeks = {{.name = std::string(80, 'c'),
                             .sum = {.number = 12345, .unknown_source = 12344, .added_forbearance_m3 = 123456.0}}};
        m_parcels[0].parcel_id = std::string(80, 'p');
        m_parcels[0].delivery = Delivery::pumped_feed;
        m_record["ranking.components_without_data"] = "low_flow_share,cost_per_m3";
        for (const Term& term : terms_of<Flag>()) {
            m_record["count.flag." + std::string(term.name)] = "9";
        }
        std::istringstream lines(page());
        for (std::string line; std::getline(lines, line);) {
            const bool names_the_file = line.find("eaveshed ") != std::string::npos;
            EXPECT_TRUE(line.size() <= 100 || names_the_file) << line;
            EXPECT_EQ(line.find_first_of("\033\t"), std::string::npos);
        }
    }
}

TEST_F(Page, ARecordWithoutANumberIsAnErrorThatNamesIt) {
    m_record.erase("terrain.cell_m");
    testing::expect_input_error([&] { (void)page(); }, {"out file.gpkg", "terrain.cell_m", "screen the basin again"});
}

}  // namespace
}  // namespace eaveshed
