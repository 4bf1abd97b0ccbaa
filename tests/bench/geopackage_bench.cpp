// Rows of the layer roofs into a GeoPackage, spatial index and all: rows a second.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <filesystem>

#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/package/geopackage_writer.hpp"
#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/record/row_batch.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

LayerSpec roofs_layer() {
    LayerSpec layer{.name = "roofs",
                    .title = "Roofs",
                    .meaning = "Every roof.",
                    .shape = LayerShape::multipolygon,
                    .columns = {},
                    .style = std::nullopt};
    for (const Column& column : columns_of<RoofRow>()) {
        layer.columns.push_back({std::string(column.field.name), std::string(column.field.unit),
                                 std::string(column.field.title), std::string(column.field.meaning), column.type, ""});
    }
    return layer;
}

RoofRow full_row(std::int64_t number) {
    RoofRow row;
    visit_fields(row, [](const Field&, auto& member) {
        if constexpr (std::is_same_v<std::remove_reference_t<decltype(member)>, std::optional<double>>) {
            member = 123.456;
        }
    });
    row.roof_id = std::to_string(number);
    row.parcel_id = std::to_string(number / 2);
    row.tank_count = 1;
    row.delivery = Delivery::pumped_feed;
    return row;
}

MultiPolygon house_at(double x, double y) {
    return {{{{{x, y}, {x + 12.0, y}, {x + 12.0, y + 9.0}, {x, y + 9.0}, {x, y}}, {}}}};
}

void roof_rows_into_a_geopackage(benchmark::State& state) {
    const testing::TempFolder folder;
    const testing::TempFolder work;
    const std::int64_t rows = state.range(0);
    const GeoPackageSpec spec{.crs = crs_from_text("EPSG:32610", "bench"),
                              .timestamp = "2000-01-01T00:00:00.000Z",
                              .layers = {roofs_layer()},
                              .closed_lists = {},
                              .relations = {},
                              .build_in = work.path()};
    constexpr std::int64_t kRowsInBatch = 128;  // as a run gathers them
    for (auto _ : state) {
        std::filesystem::remove(folder.file("out.gpkg"));
        GeoPackageWriter writer(folder.file("out.gpkg"), spec);
        for (std::int64_t first = 0; first < rows; first += kRowsInBatch) {
            RowBatch batch;
            for (std::int64_t i = first; i < std::min(rows, first + kRowsInBatch); ++i) {
                batch.begin(0);
                writer.put(house_at(5e5 + static_cast<double>(i % 100) * 20.0, 4.2e6 + static_cast<double>(i)), batch);
                batch.put_columns(full_row(i));
            }
            writer.add(batch);
        }
        writer.finish();
    }
    state.SetItemsProcessed(state.iterations() * rows);
}
BENCHMARK(roof_rows_into_a_geopackage)->ArgName("rows")->Arg(10000)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace eaveshed
