// Parcels and roofs that do not fit each other or the elevations: rows with reasons, counted both ways, none dropped.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using testing::number;
using testing::OutputFile;
using testing::TempFolder;
using testing::text;

// The elevations reach from kX0 to kX0 + 1500 east. Parcels of 100 by 100 m, each with or without a roof of its own.
constexpr double kParcelM = 100.0;

struct EdgeParcel {
    const char* id;
    double west_m;  // of kX0
    bool roof;
};
const std::vector<EdgeParcel>& edge_parcels() {
    static const std::vector<EdgeParcel> kParcels{
        {"WHOLE", 300.0, true}, {"EMPTY", 500.0, false}, {"CUT", 1425.0, true}, {"GONE", 1600.0, true}};
    return kParcels;
}

std::string write_edge_basin(const TempFolder& folder, const std::string& terrain_crs) {
    SmallBasin basin;
    basin.terrain_crs = terrain_crs;
    testing::LayerToWrite parcels = layer_in("parcels", kBasinCrs);
    parcels.fields = {{"apn"}, {"people", OFTReal}, {"garden", OFTReal}, {"source"}};
    basin.roofs.clear();
    for (const EdgeParcel& parcel : edge_parcels()) {
        const Point corner{kX0 + parcel.west_m, kY0 + 700.0};
        const SmallRoof ground{.id = "", .corner = corner, .width_m = kParcelM, .depth_m = kParcelM};
        parcels.rows.push_back({wkt_of(outline_of(ground)), {parcel.id, "3", "150", "creek"}});
        if (parcel.roof) {
            basin.roofs.push_back({.id = std::string("R-") + parcel.id, .corner = {corner.x + 20.0, corner.y + 40.0}});
        }
    }
    parcels.rows.push_back({"", {"NOSHAPE", "3", "150", "creek"}});
    basin.roofs.push_back({.id = "ALONE", .corner = {kX0 + 900.0, kY0 + 300.0}});
    const std::string project = write_basin(folder, basin);
    std::filesystem::remove(folder.file("parcels.gpkg"));
    testing::write_vector("GPKG", folder.file("parcels.gpkg"), {parcels});
    return project;
}

class ParcelsAtTheEdge : public ::testing::TestWithParam<const char*> {};

TEST_P(ParcelsAtTheEdge, HaveRowsWithReasonsCountedBothWays) {
    const TempFolder folder;
    Findings findings;
    Progress progress(ProgressStyle::none);
    ScreenOptions options;
    options.output = folder.file("out.gpkg");
    static_cast<void>(
        screen(load_project(write_edge_basin(folder, GetParam()), findings), options, findings, progress));
    const OutputFile file(folder.file("out.gpkg"));

    // Nothing is dropped: every parcel and roof of the input, in its order.
    EXPECT_EQ(file.text("SELECT group_concat(parcel_id) FROM (SELECT parcel_id FROM parcels ORDER BY fid)"),
              "WHOLE,EMPTY,CUT,GONE,NOSHAPE");
    EXPECT_EQ(file.text("SELECT group_concat(roof_id) FROM (SELECT roof_id FROM roofs ORDER BY fid)"),
              "R-WHOLE,R-CUT,R-GONE,ALONE");

    const auto parcel = [&](const std::string& id) {
        return file.rows("SELECT * FROM parcels WHERE parcel_id = '" + id + "'").at(0);
    };
    EXPECT_EQ(number(parcel("WHOLE"), "inside_share"), 1.0);
    EXPECT_EQ(text(parcel("WHOLE"), "parcel_status"), "ok");
    EXPECT_EQ(text(parcel("EMPTY"), "parcel_status"), "no_roofs");
    EXPECT_EQ(number(parcel("EMPTY"), "inside_share"), 1.0);
    // 75 m of 100 m; a raster in another CRS is a little larger than the basin's square.
    const double cut = number(parcel("CUT"), "inside_share").value();
    EXPECT_NEAR(cut, 0.75, std::string(GetParam()) == kBasinCrs ? 1e-9 : 0.25 - 1e-6);
    EXPECT_EQ(text(parcel("CUT"), "parcel_status"), "ok");
    EXPECT_EQ(number(parcel("NOSHAPE"), "inside_share"), std::nullopt);
    EXPECT_EQ(text(parcel("NOSHAPE"), "parcel_status"), "no_roofs");

    // Wholly outside: harvest and storage, no place for a tank, and why.
    EXPECT_EQ(number(parcel("GONE"), "inside_share"), 0.0);
    EXPECT_EQ(text(parcel("GONE"), "no_pad_reason"), "no_elevation");
    EXPECT_TRUE(number(parcel("GONE"), "forbearance_m3"));

    // A roof without a parcel is a property of its own.
    EXPECT_EQ(file.text("SELECT parcel_id IS NULL AND forbearance_m3 > 0 FROM roofs WHERE roof_id = 'ALONE'"), "1");
    EXPECT_EQ(file.record("count.roofs_in_no_parcel"), "1");
    EXPECT_EQ(file.record("count.parcels"), "5");
    EXPECT_EQ(file.record("count.parcel_status.no_roofs"), "2");
    EXPECT_EQ(file.record("count.parcel_status.ok"), "3");
    EXPECT_EQ(file.record("count.parcels_cut_by_the_edge"), "1");
    EXPECT_EQ(file.record("count.parcels_outside"), "1");
    EXPECT_EQ(file.text("SELECT SUM(roof_count) FROM parcels"), "3");
    std::string told;
    for (const Finding& finding : findings.list()) {
        told += finding.severity == Severity::warning ? to_text(finding.trouble) + "\n" : "";
    }
    EXPECT_THAT(told, HasSubstr("1 of 5 parcels: cut by the edge of the elevations"));
    EXPECT_THAT(told, HasSubstr("1 of 4 roofs: in no parcel"));
}

INSTANTIATE_TEST_SUITE_P(Crs, ParcelsAtTheEdge, ::testing::Values(kBasinCrs, "EPSG:4326"));

}  // namespace
}  // namespace eaveshed
