// Plans made from features in memory, on a plane: no file but those of the work folder, and neither GDAL nor PROJ.
#include "eaveshed/plan/plan.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <utility>

#include "support/memory_features.hpp"
#include "support/plane_crs.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using testing::MemoryFeatures;
using testing::MemoryRow;
using testing::TempFolder;
using testing::Wkb;

constexpr double kX = 1000.0;
constexpr double kY = 2000.0;

Point at(double x, double y) {
    return {kX + x, kY + y};
}

// Three parcels of 100 m side by side in an elevation raster of 1 km, its south-western corner at the first one's.
class PlanFromMemory : public ::testing::Test {
protected:
    PlanFromMemory() {
        m_project.resolved.footprints.id = "id";
        m_project.resolved.footprints.storeys = "floors";
        m_project.resolved.footprints.parcel = "apn";
        m_project.resolved.parcels.id = "apn";
        m_project.resolved.parcels.people = "people";
        m_project.resolved.parcels.owner_key = "owner";
        m_project.resolved.parcels.status = "status";
        m_project.resolved.use_points.parcel = "apn";
        RasterInfo terrain;
        terrain.where = "terrain";
        terrain.crs = m_crs;
        terrain.grid = {kX, kY + 1000.0, 1.0, 1.0, 1000, 1000};
        m_inputs.rasters["terrain.elevation"] = terrain;
    }

    std::shared_ptr<MemoryFeatures> give(const std::string& setting, std::vector<std::string> fields,
                                         std::vector<MemoryRow> rows) {
        auto source = std::make_shared<MemoryFeatures>(setting, m_crs, std::move(fields), std::move(rows));
        auto& layers = m_inputs.layers[setting];
        layers.push_back({source->info(), source, layers.size()});
        return source;
    }
    std::shared_ptr<MemoryFeatures> give_roofs(std::vector<MemoryRow> rows) {
        return give("footprints.source", {"id", "floors", "apn"}, std::move(rows));
    }
    std::shared_ptr<MemoryFeatures> give_parcels() {
        return give("parcels.source", {"apn", "people", "owner", "status"},
                    {{Wkb::square(at(0, 0), 100.0), {"P1", "3", "Ada", std::nullopt}},
                     {Wkb::square(at(100, 0), 100.0), {"P2", "none", "Ben", "declined"}},
                     {Wkb::square(at(950, 0), 100.0), {"P3", std::nullopt, "Ada", "maybe"}}});
    }
    [[nodiscard]] Plan plan() {
        Progress progress(ProgressStyle::none);
        return make_plan(m_project, m_inputs, m_creeks, m_work.path(), {}, m_findings, progress);
    }
    [[nodiscard]] std::string told() const {
        std::string text;
        for (const Finding& finding : m_findings.list()) {
            text += to_text(finding.trouble) + '\n';
        }
        return text;
    }

    Crs m_crs = testing::plane();
    Project m_project;
    Inputs m_inputs;
    Creeks m_creeks;
    Findings m_findings;
    TempFolder m_work;
};

TEST_F(PlanFromMemory, RoofsKeepTheirOrderTheirValuesAndWhatIsWrongWithThem) {
    const auto roofs = give_roofs({{Wkb::square(at(10, 10), 10.0), {"R1", "2", std::nullopt}},
                                   {Wkb::square(at(30, 10), 2.0), {"R2", "1", std::nullopt}},
                                   {{}, {"R3", "1", std::nullopt}},
                                   {Wkb::square(at(10, 10), 10.0), {std::nullopt, "one", std::nullopt}},
                                   {Wkb::square(at(14, 10), 10.0), {"R5", std::nullopt, std::nullopt}}});
    const Plan made = plan();
    ASSERT_EQ(made.roofs.size(), 5U);
    std::vector<Status> status;
    for (const PlannedRoof& roof : made.roofs) {
        status.push_back(roof.status);
        EXPECT_EQ(roof.parcel, kNone);
    }
    EXPECT_THAT(status,
                ElementsAre(Status::ok, Status::too_small, Status::bad_geometry, Status::duplicate, Status::ok));
    EXPECT_EQ(made.footprint(0).roof_id, "R1");
    EXPECT_EQ(made.footprint(0).facts.storeys, 2.0);
    EXPECT_NEAR(made.footprint(0).plan_area_m2.value(), 100.0, 0.2);
    EXPECT_EQ(made.footprint(3).roof_id, "4");  // the feature's own number
    EXPECT_EQ(made.footprint(3).facts.storeys, std::nullopt);
    EXPECT_TRUE(made.roofs[0].flags.has(Flag::overlaps));
    EXPECT_TRUE(made.roofs[4].flags.has(Flag::overlaps));
    EXPECT_EQ(made.sites.size(), 5U);
    EXPECT_EQ(roofs->readings(), 1);
    EXPECT_THAT(told(), HasSubstr("1 footprint without a usable polygon"));
}

TEST_F(PlanFromMemory, ARoofBelongsToTheParcelItNamesElseToTheOneAroundIt) {
    give_roofs({{Wkb::square(at(10, 10), 10.0), {"R1", std::nullopt, std::nullopt}},
                {Wkb::square(at(20, 30), 10.0), {"R2", std::nullopt, "P2"}},
                {Wkb::square(at(40, 30), 10.0), {"R3", std::nullopt, "P9"}},
                {Wkb::square(at(400, 400), 10.0), {"R4", std::nullopt, std::nullopt}}});
    give_parcels();
    const Plan made = plan();
    std::vector<std::uint32_t> parcels;
    for (const PlannedRoof& roof : made.roofs) {
        parcels.push_back(roof.parcel);
    }
    EXPECT_THAT(parcels, ElementsAre(0U, 1U, 0U, kNone));
    ASSERT_EQ(made.parcels.size(), 3U);
    EXPECT_EQ(made.parcel(0).facts.people, 3.0);
    EXPECT_EQ(made.parcel(1).facts.people, std::nullopt);
    EXPECT_EQ(made.parcels[0].inside_share, 1.0);
    EXPECT_NEAR(made.parcels[2].inside_share.value(), 0.5, 1e-9);
    EXPECT_EQ(made.parcels[0].owner_group, made.parcels[2].owner_group);
    EXPECT_NE(made.parcels[0].owner_group, made.parcels[1].owner_group);
    EXPECT_EQ(made.parcels[1].contact, ContactStatus::declined);
    EXPECT_EQ(made.parcels[2].contact, ContactStatus::do_not_contact);
    EXPECT_THAT(told(), HasSubstr("1 status word that is not known: \"maybe\""));
    EXPECT_EQ(made.sites.size(), 3U);
}

TEST_F(PlanFromMemory, AParcelHasTheAreaOfItsShapeAndOneWithoutAShapeHasNone) {
    give_roofs({{Wkb::square(at(10, 10), 10.0), {"R1", std::nullopt, std::nullopt}}});
    give("parcels.source", {"apn", "people", "owner", "status"},
         {{Wkb::square(at(0, 0), 100.0), {"P1", "3", "Ada", std::nullopt}},
          {{}, {"P2", "4", "Ben", std::nullopt}},
          {Wkb::point(at(50, 50)), {"P3", "5", "Cyd", std::nullopt}}});
    const Plan made = plan();
    EXPECT_NEAR(made.parcel(0).area_m2.value(), 10000.0, 20.0);
    EXPECT_EQ(made.parcel(1).area_m2, std::nullopt);
    EXPECT_EQ(made.parcel(1).facts.people, 4.0);  // its attributes stand
    EXPECT_EQ(made.parcel(2).area_m2, std::nullopt);
}

// method.md 7.1.
TEST_F(PlanFromMemory, OfParcelsWithTheSameIdTheFirstAloneCounts) {
    give_roofs({{Wkb::square(at(10, 10), 10.0), {"R1", std::nullopt, std::nullopt}},
                {Wkb::square(at(110, 10), 10.0), {"R2", std::nullopt, std::nullopt}},
                {Wkb::square(at(120, 30), 10.0), {"R3", std::nullopt, "P1"}}});
    give("parcels.source", {"apn", "people", "owner", "status"},
         {{Wkb::square(at(0, 0), 100.0), {"P1", "3", "Ada", std::nullopt}},
          {Wkb::square(at(100, 0), 100.0), {"P1", "4", "Ben", std::nullopt}}});
    const Plan made = plan();
    ASSERT_EQ(made.parcels.size(), 2U);  // its row stands
    EXPECT_EQ(made.roofs[0].parcel, 0U);
    EXPECT_EQ(made.roofs[1].parcel, kNone);
    EXPECT_EQ(made.roofs[2].parcel, 0U);
    EXPECT_THAT(told(), HasSubstr("the first parcel of an id counts"));
}

TEST_F(PlanFromMemory, AWordThatIsNoWaterSourceIsToldOnce) {
    m_project.resolved.parcels.water_source = "source";
    m_project.resolved.parcels.people.clear();
    m_project.resolved.parcels.owner_key.clear();
    m_project.resolved.parcels.status.clear();
    give_roofs({{Wkb::square(at(10, 10), 10.0), {"R1", std::nullopt, std::nullopt}}});
    give("parcels.source", {"apn", "source"},
         {{Wkb::square(at(0, 0), 100.0), {"P1", "Creek"}},
          {Wkb::square(at(100, 0), 100.0), {"P2", "creek"}},
          {Wkb::square(at(200, 0), 100.0), {"P3", "pond"}},
          {Wkb::square(at(300, 0), 100.0), {"P4", ""}}});
    (void)plan();
    EXPECT_THAT(told(), HasSubstr("2 parcels with a water source like \"Creek\""));
}

TEST_F(PlanFromMemory, UsePointsGoToTheParcelTheyNameOrLieIn) {
    give_roofs({{Wkb::square(at(10, 10), 10.0), {"R1", std::nullopt, std::nullopt}}});
    give_parcels();
    give("use_points.source", {"apn"},
         {{Wkb::point(at(50, 50)), {std::nullopt}},
          {Wkb::point(at(60, 60)), {"P2"}},
          {Wkb::point(at(70, 70)), {"P1"}},
          {Wkb::point(at(700, 700)), {std::nullopt}}});
    const Plan made = plan();
    EXPECT_EQ(made.parcels[0].use_point, at(50, 50));  // the first one
    EXPECT_EQ(made.parcels[1].use_point, at(60, 60));
    EXPECT_FALSE(made.parcels[2].use_point);
    EXPECT_THAT(told(), HasSubstr("1 use points that belong to no parcel"));
    EXPECT_THAT(told(), HasSubstr("1 use points outside the parcel they name"));
}

// Reaches that do not flow into each other.
Creeks creeks_of(const std::vector<Line>& lines) {
    std::vector<CreekReach> reaches;
    for (const Line& line : lines) {
        reaches.push_back({.id = std::to_string(reaches.size() + 1), .name = "", .line = line});
    }
    ReachTree tree(std::vector<std::uint32_t>(lines.size(), kNoReach));
    return {std::move(reaches), std::move(tree), {}, {kX, kY, kX + 1000.0, kY + 1000.0}, nullptr};
}

TEST_F(PlanFromMemory, CreeksExclusionsAndRoadsStandInTheirIndexes) {
    give_roofs({{Wkb::square(at(10, 10), 10.0), {"R1", std::nullopt, std::nullopt}}});
    m_creeks = creeks_of({{at(0, 200), at(300, 200)}, {at(0, 900), at(300, 900)}});
    m_project.resolved.exclusions.resize(2);
    give("exclusions.source", {}, {{Wkb::square(at(200, 0), 50.0)}});
    give("exclusions.source", {}, {{Wkb::square(at(300, 0), 50.0)}, {{}}});
    give("roads.source", {}, {{Wkb::line({at(0, 300), at(300, 300)})}, {Wkb::square(at(500, 500), 10.0)}});
    const Plan made = plan();
    ASSERT_EQ(made.obstacles.size(), 4U);
    EXPECT_EQ(made.obstacle(0).layer, 0U);
    EXPECT_EQ(made.obstacle(0).line, (Line{at(0, 200), at(300, 200)}));
    EXPECT_EQ(made.obstacle(1).layer, 0U);
    EXPECT_EQ(made.obstacle(2).layer, 1U);
    EXPECT_EQ(made.obstacle(3).layer, 2U);
    EXPECT_FALSE(made.obstacle(3).area.empty());
    EXPECT_THAT(made.obstacle_index.query({kX + 10, kY + 190, kX + 20, kY + 210}), ElementsAre(0U));
    ASSERT_EQ(made.roads.size(), 2U);
    EXPECT_EQ(made.road(1).size(), 5U);  // the edge of an area
    EXPECT_THAT(told(), HasSubstr("1 features without a usable shape"));
}

TEST_F(PlanFromMemory, ALongReachStandsInPiecesThatHangTogether) {
    give_roofs({{Wkb::square(at(10, 10), 10.0), {"R1", std::nullopt, std::nullopt}}});
    Line line;
    for (int i = 0; i <= 700; ++i) {
        line.push_back(at(i, 500.0 + i % 7));
    }
    m_creeks = creeks_of({line});
    const Plan made = plan();
    ASSERT_EQ(made.obstacles.size(), 3U);
    Line joined = made.obstacle(0).line;
    for (std::uint32_t i = 1; i < 3; ++i) {
        const Line piece = made.obstacle(i).line;
        EXPECT_EQ(made.obstacle(i).layer, 0U);
        EXPECT_EQ(piece.front(), joined.back());
        joined.insert(joined.end(), piece.begin() + 1, piece.end());
    }
    EXPECT_EQ(joined, line);
}

TEST_F(PlanFromMemory, DiversionsGoToTheParcelTheyNameOrLieIn) {
    m_project.resolved.diversions.parcel = "apn";
    give_roofs({{Wkb::square(at(10, 10), 10.0), {"R1", std::nullopt, std::nullopt}}});
    give_parcels();
    give("diversions.source", {"apn"},
         {{Wkb::point(at(50, 50)), {std::nullopt}},
          {Wkb::point(at(700, 900)), {"P2"}},  // by the creek, far from its parcel, as they may be
          {Wkb::point(at(70, 70)), {"P1"}},
          {Wkb::point(at(960, 50)), {"P9"}},  // not known, and on another's land
          {Wkb::point(at(970, 50)), {" "}},   // names none: by place
          {Wkb::point(at(700, 700)), {std::nullopt}},
          {{}, {"P1"}}});
    const Plan made = plan();
    EXPECT_EQ(made.parcels[0].diversion, at(50, 50));  // the first one
    EXPECT_EQ(made.parcels[1].diversion, at(700, 900));
    EXPECT_EQ(made.parcels[2].diversion, at(970, 50));
    EXPECT_FALSE(made.parcels[0].use_point);
    EXPECT_THAT(told(), HasSubstr("2 diversions that belong to no parcel"));
    EXPECT_THAT(told(), HasSubstr("1 diversion naming a parcel that is not there: P9"));
    EXPECT_THAT(told(), HasSubstr("1 diversion of a parcel that has one"));
    EXPECT_THAT(told(), ::testing::Not(HasSubstr("outside the parcel")));
}

// method.md 4.10, 7.15: how far a shallow well is from the stream, where the data do not say it.
class Wells : public PlanFromMemory {
protected:
    Wells() {
        ParcelSettings& parcels = m_project.resolved.parcels;
        parcels.people.clear();
        parcels.owner_key.clear();
        parcels.status.clear();
        parcels.water_source = "source";
        parcels.stream_distance_m.field = "far";
        parcels.source_share = "share";
        m_project.resolved.diversions.parcel = "apn";
        m_project.resolved.demand.transmissivity_m2_day = 100.0;
        m_project.resolved.demand.storage_coefficient = 0.2;
        m_creeks = creeks_of({{at(0, 500), at(900, 500)}, {at(0, 250), at(300, 250)}});
        give_roofs({{Wkb::square(at(10, 10), 10.0), {"R1", std::nullopt, std::nullopt}}});
    }
    void give_wells(std::vector<MemoryRow> rows) {
        give("parcels.source", {"apn", "source", "far", "share"}, std::move(rows));
    }
    static MemoryRow well(const std::string& id, double x, const std::string& source = "shallow_well",
                          const std::optional<std::string>& far = std::nullopt,
                          const std::optional<std::string>& share = std::nullopt) {
        return {Wkb::square(at(x, 0), 100.0), {id, source, far, share}};
    }
    static std::vector<std::optional<double>> distances(const Plan& plan) {
        std::vector<std::optional<double>> found;
        for (const PlannedParcel& parcel : plan.parcels) {
            found.push_back(parcel.nearest_reach_m);
        }
        return found;
    }
};

TEST_F(Wells, AreAsFarAsTheNearestReachFromInsideTheParcel) {
    give_wells({well("P1", 0), well("P2", 800)});
    const Plan made = plan();
    EXPECT_THAT(distances(made), ElementsAre(200.0, 450.0));
    EXPECT_EQ(made.parcel(0).facts.nearest_reach_m, 200.0);
    EXPECT_EQ(made.parcel(0).facts.stream_distance_m, std::nullopt);
    PlanReader reader(made);
    EXPECT_EQ(reader.parcel(1).facts.nearest_reach_m, 450.0);
}

TEST_F(Wells, AreAsFarAsTheirDiversionWhereItIsKnown) {
    give_wells({well("P1", 0), well("P2", 800), {{}, {"P3", "shallow_well", std::nullopt, std::nullopt}}});
    give("diversions.source", {"apn"}, {{Wkb::point(at(850, 90)), {std::nullopt}}, {Wkb::point(at(400, 490)), {"P3"}}});
    // A parcel without a shape has its diversion all the same.
    EXPECT_THAT(distances(plan()), ElementsAre(200.0, 410.0, 10.0));
}

TEST_F(Wells, OfWhichTheDataSayItAreNotMeasured) {
    give_wells({well("P1", 0, "shallow_well", "33"),
                well("P2", 100, "shallow_well", std::nullopt, "0.4"),
                well("P3", 200, "creek"),
                well("P4", 300, "deep_well"),
                well("P5", 400, ""),
                {{}, {"P6", "shallow_well", std::nullopt, std::nullopt}}});
    EXPECT_THAT(distances(plan()), ::testing::Each(std::nullopt));
    EXPECT_EQ(plan().parcel(0).facts.stream_distance_m, 33.0);
}

TEST_F(Wells, AreMeasuredByDefaultWhereThatIsWhatParcelsHave) {
    m_project.resolved.parcels.default_water_source = WaterSource::shallow_well;
    give_wells({well("P1", 0, "")});
    EXPECT_THAT(distances(plan()), ElementsAre(200.0));
}

TEST_F(Wells, AreMeasuredWithTheirMeasuredSource) {
    give_wells({well("P1", 0, "creek"), well("P2", 100)});
    MemoryFeatures table("overrides", Crs(), {"parcel_id", "water_source"},
                         {{{}, {"P1", "shallow_well"}}, {{}, {"P2", "mains"}}});
    m_inputs.overrides = read_override_table(table, m_findings);
    EXPECT_THAT(distances(plan()), ElementsAre(200.0, std::nullopt));
}

TEST_F(Wells, WithoutAnAquiferOrAReachAreNotMeasured) {
    give_wells({well("P1", 0)});
    const auto transmissivity = std::exchange(m_project.resolved.demand.transmissivity_m2_day, std::nullopt);
    EXPECT_THAT(distances(plan()), ElementsAre(std::nullopt));
    m_project.resolved.demand.transmissivity_m2_day = transmissivity;
    m_project.resolved.demand.storage_coefficient.reset();
    EXPECT_THAT(distances(plan()), ElementsAre(std::nullopt));
    m_project.resolved.demand.storage_coefficient = 0.2;
    m_creeks = Creeks();
    EXPECT_THAT(distances(plan()), ElementsAre(std::nullopt));
}

TEST_F(PlanFromMemory, MeasuredValuesReachTheRoofAndParcelTheyName) {
    const auto roofs = give_roofs({{Wkb::square(at(10, 10), 10.0), {"R1", "1", std::nullopt}},
                                   {Wkb::square(at(30, 10), 10.0), {"R2", "1", std::nullopt}}});
    const auto parcels = give_parcels();
    MemoryFeatures table("overrides", Crs(), {"roof_id", "parcel_id", "eave_height_m", "people"},
                         {{{}, {"R2", std::nullopt, "2.5", std::nullopt}},
                          {{}, {std::nullopt, "P1", std::nullopt, "7"}},
                          {{}, {"R9", std::nullopt, "2.5", std::nullopt}}});
    m_inputs.overrides = read_override_table(table, m_findings);
    const Plan made = plan();
    EXPECT_EQ(made.footprint(0).facts.eave_height_m, std::nullopt);
    EXPECT_EQ(made.footprint(1).facts.eave_height_m, 2.5);
    EXPECT_EQ(made.parcel(0).facts.people, 7.0);
    EXPECT_TRUE(made.parcels[0].measured);
    EXPECT_EQ(overrides_line(made.overrides),
              "3 rows: 2 applied by id, 0 carried over, 0 ambiguous, 1 without a match, 0 not usable, 0 without a "
              "value");
    EXPECT_EQ(roofs->readings(), 2);  // to find those that are meant, and for the plan
    EXPECT_EQ(parcels->readings(), 2);
}

TEST_F(PlanFromMemory, ALayerWithoutARoofIsAnError) {
    give_roofs({});
    (void)plan();
    EXPECT_EQ(m_findings.count(Severity::error), 1U);
    EXPECT_THAT(told(), HasSubstr("no footprint"));
}

// Six tiles of 1 km from west to east and two from north to south, a roof in each.
class TilesOfAPlan : public PlanFromMemory {
protected:
    [[nodiscard]] std::vector<std::string> in_order(std::int64_t block_cols) {
        RasterInfo& terrain = m_inputs.rasters["terrain.elevation"];
        terrain.grid = {0.0, 2000.0, 1.0, 1.0, 2000, 6000};
        terrain.block_cols = block_cols;
        std::vector<MemoryRow> rows;
        for (int i = 0; i < 12; ++i) {
            const Point corner{1000.0 * (i % 6) + 400.0, 1000.0 * (i / 6) + 400.0};
            rows.push_back(
                {Wkb::square(corner, 10.0), {std::string(1, static_cast<char>('a' + i)), "1", std::nullopt}});
        }
        give_roofs(rows);
        const Plan made = plan();
        std::vector<std::string> ids;
        for (const PlannedTile& tile : made.tiles) {
            for (std::uint32_t i = 0; i < tile.count; ++i) {
                ids.push_back(made.footprint(made.site_roofs[made.sites[tile.first + i].first]).roof_id);
            }
        }
        return ids;
    }
};

TEST_F(TilesOfAPlan, StandInEquallyWideStripsSoThatBlocksStayForRowsAcrossAStripOnly) {
    EXPECT_THAT(in_order(200), ElementsAre("g", "h", "i", "a", "b", "c", "j", "k", "l", "d", "e", "f"));
}

TEST_F(TilesOfAPlan, StandInRowsWhereSixteenBlocksAreAboutAsWideAsTheBasin) {
    EXPECT_THAT(in_order(512), ElementsAre("g", "h", "i", "j", "k", "l", "a", "b", "c", "d", "e", "f"));
}

TEST_F(TilesOfAPlan, StandInRowsWhereABlockIsAsWideAsTheRaster) {
    EXPECT_THAT(in_order(6000), ElementsAre("g", "h", "i", "j", "k", "l", "a", "b", "c", "d", "e", "f"));
}

}  // namespace
}  // namespace eaveshed
