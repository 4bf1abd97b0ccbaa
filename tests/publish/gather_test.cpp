// Rows brought together in memory: no spool, no GeoPackage, neither GDAL nor PROJ.
#include "eaveshed/publish/gather.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <iterator>
#include <map>

#include "eaveshed/record/output_rows.hpp"
#include "support/expect_error.hpp"
#include "support/memory_features.hpp"
#include "support/plane_crs.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using testing::MemoryFeatures;
using testing::MemoryRow;
using ::testing::Not;
using testing::Wkb;

class MemoryRows final : public RowsInOrder {
public:
    std::vector<RoofRows> roofs;
    std::map<std::uint64_t, ParcelRows> parcels;

    [[nodiscard]] RoofRows roof(std::uint64_t ordinal) override { return roofs.at(ordinal); }
    [[nodiscard]] std::optional<ParcelRows> parcel(std::uint64_t ordinal) override {
        const auto found = parcels.find(ordinal);
        return found == parcels.end() ? std::nullopt : std::optional(found->second);
    }
};

struct StoredRow {
    Box box;  // of its geometry
    std::vector<Value> values;
};

// Keeps the values of every row, by table.
class MemoryResult final : public ResultWriter {
public:
    void put(const MultiPolygon& outline, RowBatch& batch) const override { put_box(bounds(outline), batch); }
    void put(Point place, double /*z*/, RowBatch& batch) const override {
        put_box({place.x, place.y, place.x, place.y}, batch);
    }
    void put(const Segment& line, double /*z_from*/, double /*z_to*/, RowBatch& batch) const override {
        put_box(bounds(line), batch);
    }
    void put(const Line& line, RowBatch& batch) const override { put_box(bounds(line), batch); }
    void add(const RowBatch& batch) override {
        EXPECT_FALSE(finished);
        for (std::size_t i = 0; i < batch.size(); ++i) {
            const RowBatch::Row row = batch.row(i);
            EXPECT_FALSE(m_complete[row.layer]) << "a row of a table that was complete";
            StoredRow& stored = rows[row.layer].emplace_back();
            stored.box = row.box;
            std::ranges::transform(row.values, std::back_inserter(stored.values), value_of);
        }
    }
    void complete(std::size_t layer) override { m_complete[layer] = true; }
    void add_metadata(const std::string& text) override { metadata = text; }
    void finish() override { finished = true; }

    std::map<std::size_t, std::vector<StoredRow>> rows;
    std::string metadata;
    bool finished = false;

private:
    static void put_box(const Box& box, RowBatch& batch) { batch.put_geometry({}, box); }

    std::map<std::size_t, bool> m_complete;
};

template <typename Row>
std::vector<std::string> texts(const MemoryResult& result, std::string_view column) {
    const auto& columns = output_tables().at(kTableOf<Row>).columns;
    std::size_t place = 0;
    while (columns.at(place).field.name != column) {
        ++place;
    }
    std::vector<std::string> found;
    const auto rows = result.rows.find(kTableOf<Row>);
    for (const StoredRow& row : rows == result.rows.end() ? std::vector<StoredRow>{} : rows->second) {
        EXPECT_EQ(row.values.size(), columns.size());
        const auto* const text = std::get_if<std::string>(&row.values.at(place));
        found.push_back(text != nullptr ? *text : "(null)");
    }
    return found;
}

std::string said(const Findings& findings) {
    std::string text;
    for (const Finding& finding : findings.list()) {
        text += finding_line(finding) + '\n';
    }
    return text;
}

class GatherFromMemory : public ::testing::Test {
protected:
    GatherFromMemory() {
        m_project.settings.footprints.id = "id";
        m_project.settings.parcels.id = "apn";
        m_project.resolved = m_project.settings;
        RasterInfo terrain;
        terrain.where = "terrain";
        terrain.crs = m_crs;
        terrain.grid = {0.0, 1000.0, 1.0, 1.0, 1000, 1000};
        m_inputs.rasters["terrain.elevation"] = terrain;
        m_inputs.rain = RainInfo{.where = "rain",
                                 .files = {},
                                 .grid = {},
                                 .crs = m_crs,
                                 .timeline = make_normals_timeline(m_project.settings.season_months())};
        m_inputs.output_crs = testing::plane("elsewhere", {-5000.0, 0.0});
        give("footprints.source", {"id"},
             {{Wkb::square({10, 10}, 10.0), {"R1"}},
              {Wkb::square({150, 10}, 10.0), {"R2"}},
              {Wkb::square({30, 10}, 2.0), {"R3"}}});
        give("parcels.source", {"apn"}, {{Wkb::square({0, 0}, 100.0), {"P1"}}, {Wkb::square({300, 0}, 50.0), {"P2"}}});
        for (std::uint64_t ordinal = 0; ordinal < 3; ++ordinal) {
            RoofRows rows;
            rows.ordinal = ordinal;
            rows.roof.status = ordinal == 2 ? Status::too_small : Status::ok;
            rows.roof.plan_area_m2 = 100.0;
            rows.connected = ordinal == 0;
            m_rows.roofs.push_back(rows);
        }
        ParcelRows parcel;
        parcel.parcel.parcel_status = ParcelStatus::ok;
        parcel.parcel.forbearance_m3 = 12.0;
        parcel.parcel.added_forbearance_m3 = 9.0;
        parcel.parcel.added_gain_lps = 0.001;
        parcel.parcel.usable_m3 = 20.0;
        parcel.parcel.delivery = Delivery::gravity;
        ParcelOptionRow size;
        size.storage_m3 = 21.0;
        size.chosen = true;
        parcel.options = {size};
        PadRow pad;
        pad.place = {20.0, 30.0};
        pad.pad_elev_m = 101.0;
        pad.arrangement = Arrangement::single;
        pad.tank_count = 1;
        pad.pad_radius_m = 2.0;
        PipeRow feed;
        feed.place = {{20.0, 30.0}, {50.0, 10.0}};
        feed.start_elev_m = 101.1;
        feed.end_elev_m = 90.0;
        parcel.feed = feed;
        parcel.pad = pad;
        parcel.pad_roof = 0;
        m_rows.parcels[0] = parcel;
    }
    void give(const std::string& setting, std::vector<std::string> fields, std::vector<MemoryRow> rows) {
        auto source = std::make_shared<MemoryFeatures>(setting, m_crs, std::move(fields), std::move(rows));
        m_inputs.layers[setting].push_back({source->info(), source, 0});
    }
    RunCounts run(bool strict = false) {
        Progress progress(ProgressStyle::none);
        const Plan plan = make_plan(m_project, m_inputs, m_creeks, m_work.path(), {}, m_findings, progress);
        return gather({.project = m_project,
                       .inputs = m_inputs,
                       .plan = plan,
                       .creeks = m_creeks,
                       .subbasins = m_subbasins,
                       .files = m_files,
                       .findings = m_findings,
                       .rows = m_rows,
                       .writer = m_result,
                       .libraries = m_libraries,
                       .threads = 1,
                       .strict = strict},
                      progress);
    }

    Crs m_crs = testing::plane();
    Project m_project;
    Inputs m_inputs;
    Findings m_findings;
    Creeks m_creeks;
    Subbasins m_subbasins;
    std::vector<InputFile> m_files;
    std::vector<std::pair<std::string, std::string>> m_libraries{{"abacus", "7.1"}};
    MemoryRows m_rows;
    MemoryResult m_result;
    testing::TempFolder m_work;
};

TEST_F(GatherFromMemory, RowsStandInInputOrderUnderTheNamesOfThePlan) {
    const RunCounts counts = run();
    EXPECT_TRUE(m_result.finished);
    EXPECT_EQ(counts.rows(), 3U);
    EXPECT_THAT(texts<RoofRow>(m_result, "roof_id"), ElementsAre("R1", "R2", "R3"));
    EXPECT_THAT(texts<RoofRow>(m_result, "parcel_id"), ElementsAre("P1", "(null)", "P1"));
    EXPECT_THAT(texts<RoofRow>(m_result, "status"), ElementsAre("ok", "ok", "too_small"));
    EXPECT_THAT(texts<ParcelRow>(m_result, "parcel_id"), ElementsAre("P1", "P2"));
    EXPECT_THAT(texts<ParcelRow>(m_result, "parcel_status"), ElementsAre("ok", "no_roofs"));
    EXPECT_THAT(texts<ParcelRow>(m_result, "connected_roofs"), ElementsAre("R1", "(null)"));
    EXPECT_THAT(texts<PadRow>(m_result, "roof_id"), ElementsAre("R1"));
    EXPECT_THAT(texts<PadGroundRow>(m_result, "parcel_id"), ElementsAre("P1"));
    EXPECT_THAT(texts<PipeRow>(m_result, "roof_id"), ElementsAre("R1"));
    EXPECT_THAT(texts<ParcelOptionRow>(m_result, "parcel_id"), ElementsAre("P1"));
}

TEST_F(GatherFromMemory, ShapesAreBroughtToTheOutputsSystem) {
    (void)run();
    const std::vector<StoredRow>& roofs = m_result.rows.at(kTableOf<RoofRow>);
    EXPECT_EQ(roofs.at(0).box.x_min, 5010.0);
    EXPECT_EQ(roofs.at(0).box.y_min, 10.0);
    EXPECT_EQ(m_result.rows.at(kTableOf<PadRow>).at(0).box.x_min, 5020.0);
    EXPECT_NEAR(m_result.rows.at(kTableOf<PadGroundRow>).at(0).box.x_min, 5018.0, 1e-9);  // 2 m around
    EXPECT_EQ(m_result.rows.at(kTableOf<PipeRow>).at(0).box.x_max, 5050.0);
}

TEST_F(GatherFromMemory, TheRunRecordTellsCountsAndVersions) {
    (void)run();
    EXPECT_THAT(m_result.metadata, HasSubstr("count.rows = 3"));
    EXPECT_THAT(m_result.metadata, HasSubstr("count.status.too_small = 1"));
    EXPECT_THAT(m_result.metadata, HasSubstr("library.abacus = 7.1"));
    EXPECT_THAT(m_result.metadata, HasSubstr("count.parcels = 2"));
    // P1 is the one candidate: it has neither a reach, a price, a probability nor a reliability.
    EXPECT_THAT(m_result.metadata,
                HasSubstr("ranking.components_without_data = low_flow_share,gravity,cost,reliability\n"));
}

template <typename Row>
std::optional<double> number_in(const MemoryResult& result, std::size_t row, std::string_view column) {
    const auto& columns = output_tables().at(kTableOf<Row>).columns;
    std::size_t place = 0;
    while (columns.at(place).field.name != column) {
        ++place;
    }
    const auto* const number = std::get_if<double>(&result.rows.at(kTableOf<Row>).at(row).values.at(place));
    return number != nullptr ? std::optional(*number) : std::nullopt;
}

TEST_F(GatherFromMemory, ReachesAndSubbasinsAreLayersInTheirOrder) {
    m_creeks = Creeks({{.id = "Up", .name = "Trout", .line = {{0.0, 200.0}, {60.0, 210.0}, {100.0, 200.0}}},
                       {.id = "Main", .name = "", .line = {{100.0, 200.0}, {100.0, 900.0}}, .length_m = 700.0}},
                      ReachTree({1, kNoReach}), {}, {0.0, 0.0, 1000.0, 1000.0}, nullptr);
    give("subbasins.source", {"name"},
         {{Wkb::square({120, 0}, 500.0), {"East"}}, {Wkb::square({0, 0}, 120.0), {"West"}}});
    m_project.resolved.subbasins.id = "name";
    m_subbasins = Subbasins(m_project, m_inputs, m_creeks, m_findings);
    m_rows.parcels[0].parcel.instream_gain_lps = 0.002;
    (void)run();
    EXPECT_THAT(texts<ReachRow>(m_result, "reach_id"), ElementsAre("Up", "Main"));
    EXPECT_THAT(texts<ReachRow>(m_result, "next_reach_id"), ElementsAre("Main", "(null)"));
    EXPECT_THAT(texts<ReachRow>(m_result, "creek"), ElementsAre("Trout", "(null)"));
    EXPECT_EQ(number_in<ReachRow>(m_result, 1, "length_m"), 700.0);
    EXPECT_EQ(number_in<ReachRow>(m_result, 0, "gain_local_lps"), 0.002);  // P1's pad is nearest to Up
    EXPECT_EQ(number_in<ReachRow>(m_result, 1, "gain_total_lps"), 0.002);
    EXPECT_EQ(number_in<ReachRow>(m_result, 1, "open_total_lps"), 0.001);
    const Box up = m_result.rows.at(kTableOf<ReachRow>).at(0).box;  // in the output's system
    EXPECT_EQ(up.x_min, 5000.0);
    EXPECT_EQ(up.x_max, 5100.0);
    EXPECT_EQ(up.y_max, 210.0);
    EXPECT_THAT(texts<SubbasinRow>(m_result, "subbasin_id"), ElementsAre("East", "West"));
    EXPECT_NEAR(number_in<SubbasinRow>(m_result, 0, "area_km2").value(), 0.25, 1e-6);
    EXPECT_EQ(number_in<SubbasinRow>(m_result, 1, "forbearance_m3"), 12.0);
    EXPECT_EQ(m_result.rows.at(kTableOf<SubbasinRow>).at(0).box.x_min, 5120.0);
    // R2 is nearest to where both meet: of two as near the first.
    EXPECT_THAT(texts<RoofRow>(m_result, "reach_id"), ElementsAre("Up", "Up", "(null)"));
    EXPECT_THAT(texts<RoofRow>(m_result, "subbasin_id"), ElementsAre("West", "East", "West"));
    EXPECT_THAT(texts<ParcelRow>(m_result, "reach_id"), ElementsAre("Up", "(null)"));
    EXPECT_THAT(texts<ParcelRow>(m_result, "reach_entry"), ElementsAre("nearest", "(null)"));
    EXPECT_THAT(texts<ParcelRow>(m_result, "subbasin_id"), ElementsAre("West", "(null)"));
}

// A catchment that no ground drains to is a row without a geometry.
TEST_F(GatherFromMemory, CatchmentsAreSubbasinsNamedByTheirReaches) {
    Surface<float> surface{{0.0, 1000.0, 250.0, 250.0, 4, 4}, std::pmr::vector<float>(16)};
    for (std::size_t i = 0; i < 16; ++i) {
        surface.elev_m[i] = static_cast<float>(100 - 10 * static_cast<int>(i % 4));  // falls to the east
    }
    FlowDirections directions = flow_directions(surface, sides_in_plane(surface.grid, 1.0));
    const std::vector<Line> lines{{{900.0, 950.0}, {900.0, 50.0}}, {{3000.0, 0.0}, {3000.0, 900.0}}};
    const ReachTree tree({kNoReach, kNoReach});
    std::vector<ChannelCell> channel = channel_of(lines, tree, directions.grid);
    m_creeks =
        Creeks({{.id = "East", .name = "", .line = lines[0]}, {.id = "Far", .name = "", .line = lines[1]}}, tree, {},
               {0.0, 0.0, 1000.0, 1000.0}, std::make_shared<WaysToStream>(std::move(directions), std::move(channel)));
    m_subbasins = Subbasins(m_project, m_inputs, m_creeks, m_findings);
    (void)run();
    EXPECT_THAT(texts<SubbasinRow>(m_result, "subbasin_id"), ElementsAre("East", "Far"));
    EXPECT_NEAR(number_in<SubbasinRow>(m_result, 0, "area_km2").value(), 1.0, 1e-5);
    EXPECT_EQ(number_in<SubbasinRow>(m_result, 1, "area_km2"), 0.0);
    EXPECT_EQ(m_result.rows.at(kTableOf<SubbasinRow>).at(0).box.x_max, 6000.0);
    EXPECT_TRUE(m_result.rows.at(kTableOf<SubbasinRow>).at(1).box.empty());
    EXPECT_THAT(texts<ParcelRow>(m_result, "reach_entry"), ElementsAre("flow", "(null)"));
    EXPECT_THAT(texts<RoofRow>(m_result, "subbasin_id"), ElementsAre("East", "East", "East"));
    EXPECT_THAT(said(m_findings), Not(HasSubstr("the nearest was taken")));
}

// The ground falls to the west, and the one reach lies in the east: no water comes to it.
TEST_F(GatherFromMemory, WhoFoundTheNearestReachOnlyIsCounted) {
    Surface<float> surface{{0.0, 1000.0, 250.0, 250.0, 4, 4}, std::pmr::vector<float>(16)};
    for (std::size_t i = 0; i < 16; ++i) {
        surface.elev_m[i] = static_cast<float>(100 + 10 * static_cast<int>(i % 4));  // falls to the west
    }
    FlowDirections directions = flow_directions(surface, sides_in_plane(surface.grid, 1.0));
    const std::vector<Line> lines{{{900.0, 950.0}, {900.0, 50.0}}};
    const ReachTree tree({kNoReach});
    std::vector<ChannelCell> channel = channel_of(lines, tree, directions.grid);
    m_creeks = Creeks({{.id = "East", .name = "", .line = lines[0]}}, tree, {}, {0.0, 0.0, 1000.0, 1000.0},
                      std::make_shared<WaysToStream>(std::move(directions), std::move(channel)));
    (void)run();
    EXPECT_THAT(texts<ParcelRow>(m_result, "reach_entry"), ElementsAre("nearest", "(null)"));
    EXPECT_THAT(said(m_findings), AllOf(HasSubstr("2 of 2 roofs and 1 of 1 parcel: their water meets no reach"),
                                        HasSubstr(" m away"), HasSubstr("[diversions]")));
    EXPECT_THAT(said(m_findings), Not(HasSubstr("gains of parcels only")));
}

TEST_F(GatherFromMemory, WithoutParcelsAReachCountsNoGainAndThatIsTold) {
    m_creeks = Creeks({{.id = "Up", .name = "", .line = {{0.0, 200.0}, {100.0, 200.0}}}}, ReachTree({kNoReach}), {},
                      {0.0, 0.0, 1000.0, 1000.0}, nullptr);
    m_inputs.layers.erase("parcels.source");
    m_rows.parcels.clear();
    (void)run();
    EXPECT_THAT(said(m_findings), HasSubstr("count the gains of parcels only"));
    EXPECT_THAT(said(m_findings), Not(HasSubstr("the nearest was taken")));  // as asked
}

TEST_F(GatherFromMemory, WithoutStreamsTheirLayersAreEmpty) {
    (void)run();
    EXPECT_FALSE(m_result.rows.contains(kTableOf<ReachRow>));
    EXPECT_FALSE(m_result.rows.contains(kTableOf<SubbasinRow>));
    EXPECT_THAT(texts<ParcelRow>(m_result, "reach_id"), ElementsAre("(null)", "(null)"));
}

TEST_F(GatherFromMemory, AStrictRunWithWarningsIsNotFinished) {
    m_findings.warn({"somewhere", "something odd", "", ""});
    try {
        (void)run(true);
        ADD_FAILURE() << "no error";
    } catch (const Error& error) {
        EXPECT_THAT(error.what(), ::testing::AllOf(HasSubstr("warning"), HasSubstr("--strict")));
    }
    EXPECT_FALSE(m_result.finished);
}

}  // namespace
}  // namespace eaveshed
