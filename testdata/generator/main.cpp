// make_demo_basin: a whole invented basin from one seed. The same words give the same content on any machine.
#include <cpl_conv.h>
#include <fmt/format.h>
#include <gdal_priv.h>
#include <CLI/CLI.hpp>

#include <algorithm>
#include <filesystem>

#include "climate.hpp"
#include "flaws.hpp"
#include "project_writer.hpp"
#include "raster_writer.hpp"
#include "roads.hpp"
#include "settlement.hpp"
#include "vector_writer.hpp"

namespace demo {
namespace {

BasinPlan read_words(CLI::App& app, int argc, char** argv) {
    BasinPlan plan;
    double width_km = plan.width_m / 1000.0;
    double height_km = plan.height_m / 1000.0;
    app.add_option("--out", plan.out_dir, "folder to write into; made if it is not there")->required();
    app.add_option("--seed", plan.seed, "any whole number; another number, another basin")->capture_default_str();
    app.add_option("--roofs", plan.roofs, "about how many footprints")
        ->check(CLI::Range(40, 5000000))
        ->capture_default_str();
    app.add_option("--width-km", width_km, "west to east")->check(CLI::Range(1.0, 200.0))->capture_default_str();
    app.add_option("--height-km", height_km, "south to north")->check(CLI::Range(1.5, 200.0))->capture_default_str();
    app.add_option("--cell", plan.cell_m, "side of an elevation cell, m")
        ->check(CLI::Range(0.25, 20.0))
        ->capture_default_str();
    app.add_option("--years", plan.years, "whole years of rain from 1 October")
        ->check(CLI::Range(2, 80))
        ->capture_default_str();
    app.add_option("--first-year", plan.first_year, "year of the first October")
        ->check(CLI::Range(1900, 2100))
        ->capture_default_str();
    app.parse(argc, argv);
    plan.width_m = width_km * 1000.0;
    plan.height_m = height_km * 1000.0;
    return plan;
}

// Strips of wood along the main streams, drawn by hand as a botanist would.
std::vector<Polygon> make_habitat(const BasinPlan& plan, const ValleyRow& row) {
    std::vector<Polygon> areas;
    for (const Valley& valley : row.valleys) {
        for (auto [low, high] : {std::pair(0.22, 0.34), std::pair(0.58, 0.74)}) {
            const double from = low * plan.height_m;
            const int steps = std::max(4, static_cast<int>((high - low) * plan.height_m / 40.0));
            Ring ring;
            for (int side : {-1, 1}) {
                for (int i = 0; i <= steps; ++i) {
                    const double along = from + (high - low) * plan.height_m * (side < 0 ? i : steps - i) / steps;
                    ring.push_back(
                        valley.to_world(along, valley.channel_offset_m(along) + side * (15.0 + (i * 7 + side) % 4)));
                }
            }
            areas.push_back({rounded_ring(ring), {}});
        }
    }
    return areas;
}

void write_basin(const BasinPlan& plan) {
    const ValleyRow valleys = lay_out_valleys(plan);
    const Terrain terrain(plan, valleys);
    const std::vector<Reach> reaches = make_reaches(plan, terrain);
    const StreamIndex streams(plan, reaches);
    const LotGrid grid(plan, terrain);
    Settlement town = settle(plan, terrain, grid, streams);
    const std::vector<ElevationHole> holes = add_flaws(town.buildings);
    const Climate climate(plan);
    std::filesystem::create_directories(plan.out_dir);
    write_buildings(plan, town.buildings);
    write_parcels(plan, town.parcels);
    write_streams(plan, reaches);
    write_use_points(plan, town.taps);
    write_roads(plan, make_roads(grid, static_cast<int>(valleys.valleys.size()), town.lots));
    write_habitat(plan, make_habitat(plan, valleys));
    write_evapotranspiration(plan, climate);
    write_rain(plan, climate);
    write_project(plan, climate);
    write_elevation(plan, terrain, holes);
    fmt::print("{}: {} footprints, {} parcels, {} reaches, {} use points, {} days of rain\n", plan.out_dir,
               town.buildings.size(), town.parcels.size(), reaches.size(), town.taps.size(), climate.day_count());
}

}  // namespace
}  // namespace demo

int main(int argc, char** argv) {
    CLI::App app(
        "Writes an invented basin to try Eaveshed on: footprints, parcels, streams, elevation, rain and a project "
        "file.");
    try {
        const demo::BasinPlan plan = demo::read_words(app, argc, argv);
        GDALAllRegister();
        CPLSetConfigOption("OGR_CURRENT_DATE",
                           "2025-01-01T00:00:00.000Z");  // or the files would hold the hour of writing
        GDALSetCacheMax64(64 << 20);
        demo::write_basin(plan);
        return 0;
    } catch (const CLI::ParseError& words) {
        return app.exit(words) == 0 ? 0 : 2;
    } catch (const std::exception& trouble) {
        fmt::print(stderr, "make_demo_basin: {}\n", trouble.what());
        return 1;
    }
}
