#include "project_writer.hpp"

#include <fmt/format.h>

#include <fstream>
#include <stdexcept>

namespace demo {
namespace {

// clang-format off
constexpr const char* kText = R"toml(# Eaveshed project file for the demo basin. Everything in it is invented.
# Paths are relative to this file. A key left out takes its default: `eaveshed settings` lists them all.
#
#   eaveshed check basin.toml      opens every file below and says what it understood
#   eaveshed screen basin.toml     does the work and writes demo_basin.gpkg

[basin]
name = "Quillwater (invented)"
output = "demo_basin.gpkg"             # -o on the command line wins

# One polygon for each building. On the right-hand side stand the columns of the file.
[footprints]
source = "buildings.gpkg"
layer = "buildings"
id = "bldg_id"
where = "use <> 'greenhouse'"          # glass roofs are left out before anything is computed
outline = "roof"                       # drawn along the eaves; "walls" would grow each by overhang_m
material = "roof_mat"                  # decides the runoff coefficient; a word not in the table takes the default and a flag
storeys = "floors"
eave_height = "eave_h_m"               # metres from ground to gutter; wins over storeys where present
connected_share = "gutter_share"       # part of the roof that drains to downspouts worth connecting
parcel = "apn"                         # a number unknown to the parcels, or none, falls back on where the roof stands

# Bare earth, not roof or tree tops: tanks stand on the ground.
[terrain]
elevation = "dem.tif"
vertical_unit = "m"
rmse_m = 0.15                          # how far a height may be off; decides when a gravity answer is "cannot_tell"

# One band a day. A long record knows dry winters; twelve monthly means do not.
[rain]
source = "rain_daily.tif"
kind = "daily"
unit = "mm"                            # the file says so too; a contradiction would stop the run
start = "{start}"                   # day of the first band

[evapotranspiration]
source = "et0.tif"                     # twelve bands, January first
unit = "mm day-1"

# What is known of each property. Empty cells take the defaults of [demand], and a flag in the row says so.
[parcels]
source = "parcels.gpkg"
layer = "parcels"
id = "apn"
people = "people"
irrigated_area_m2 = "irrigated_m2"
season_use_m3 = "season_use_m3"        # metered take of the dry season; replaces people and garden where present
water_source = "source"                # creek, spring, shallow_well, deep_well, mains
stream_distance_m = "stream_m"         # with the two aquifer values below: how much of a shallow well's take the creek feels
pump_lps = "pump_lps"
existing_storage_m3 = "tank_m3"
owner_key = "owner_key"                # one owner, several parcels
status = "status"                      # enrolled, declined and do-not-contact are not ranked
carry = ["owner", "phone"]             # only ever copied into call lists, never into the GeoPackage

[demand]
transmissivity_m2_day = 60.0
storage_coefficient = 0.12

[streams]
source = "streams.gpkg"
layer = "streams"                      # drawn downstream: gains are added up along them
id = "reach"
name = "creek"
low_flow_lps = "low_flow_lps"          # what late summer leaves in each reach

# Garden taps that someone has mapped. A parcel without one gets an assumed point and a flag.
[use_points]
source = "use_points.gpkg"
layer = "use_points"
parcel = "apn"

# Ground where no tank may stand, and how far to keep away from it.
[[exclusions]]
name = "habitat"
source = "exclusions.gpkg"
layer = "habitat"
setback_m = 10.0

[roads]
source = "roads.gpkg"
layer = "roads"
)toml";
// clang-format on

}  // namespace

void write_project(const BasinPlan& plan, const Climate& climate) {
    const std::string path = plan.out_dir + "/basin.toml";
    std::ofstream out(path, std::ios::binary | std::ios::trunc);
    out << fmt::format(fmt::runtime(kText), fmt::arg("start", climate.first_date_text()));
    out.close();
    if (!out) {
        throw std::runtime_error(path + ": cannot be written");
    }
}

}  // namespace demo
