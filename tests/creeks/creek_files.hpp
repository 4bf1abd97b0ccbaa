// Small basins of files: a raster of elevations, one roof and stream lines, opened as a run opens them.
#pragma once

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <functional>
#include <string>
#include <vector>

#include "eaveshed/creeks/make_creeks.hpp"
#include "support/raster_file.hpp"
#include "support/temp_folder.hpp"
#include "support/vector_file.hpp"

namespace eaveshed::testing {

inline std::vector<std::string> ids_of(const Creeks& creeks) {
    std::vector<std::string> ids;
    for (const CreekReach& reach : creeks.reaches()) {
        ids.push_back(reach.id);
    }
    return ids;
}

inline std::vector<std::uint32_t> nexts_of(const Creeks& creeks) {
    std::vector<std::uint32_t> nexts;
    for (std::size_t i = 0; i < creeks.tree().size(); ++i) {
        nexts.push_back(creeks.tree().next(i));
    }
    return nexts;
}

struct LineToWrite {
    std::string id;  // empty: none
    std::string wkt;
    std::string name = {};
    std::string low_flow = {};
};

class CreekFiles : public ::testing::Test {
protected:
    static constexpr double kWest = 500000.0;
    static constexpr double kSouth = 4000000.0;

    // Metres east and north of the ground's south-western corner.
    static Point at(double east_m, double north_m) { return {kWest + east_m, kSouth + north_m}; }
    static std::string wkt(const Line& line) {
        std::string text;
        for (const Point& point : line) {
            text += fmt::format("{}{:.9f} {:.9f}", text.empty() ? "" : ",", point.x, point.y);
        }
        return "LINESTRING(" + text + ")";
    }

    using Ground = std::function<double(double east_m, double north_m)>;
    // Of square cells, the heights at their centres.
    void write_ground(int rows, int cols, double cell_m, const Ground& elev_m, double metres_per_value = 1.0,
                      const std::string& unit = "") {
        RasterSpec spec;
        spec.rows = rows;
        spec.cols = cols;
        spec.transform = {kWest, cell_m, 0.0, kSouth + rows * cell_m, 0.0, -cell_m};
        spec.unit = unit;
        std::vector<double>& values = spec.bands.emplace_back();
        for (int row = 0; row < rows; ++row) {
            for (int col = 0; col < cols; ++col) {
                values.push_back(elev_m((col + 0.5) * cell_m, (rows - row - 0.5) * cell_m) / metres_per_value);
            }
        }
        write_raster(m_folder.file("dem.tif"), spec);
    }
    void write_roof(double east_m, double north_m, const std::string& file = "roofs.gpkg") {
        const Point corner = at(east_m, north_m);
        write_vector("GPKG", m_folder.file(file), {{.rows = {{square_wkt(corner.x, corner.y, 20.0)}}}});
    }
    void write_lines(const std::vector<LineToWrite>& lines, const std::string& crs = "EPSG:32610") {
        LayerToWrite layer{.name = "creeks", .type = wkbUnknown, .crs = crs};
        layer.fields = {{"id"}, {"creek"}, {"low"}};
        const auto or_null = [](const std::string& text) { return text.empty() ? std::nullopt : std::optional(text); };
        for (const LineToWrite& line : lines) {
            layer.rows.push_back({line.wkt, {or_null(line.id), or_null(line.name), or_null(line.low_flow)}});
        }
        write_vector("GPKG", m_folder.file("creeks.gpkg"), {layer});
    }

    // With lines under [streams]. Rain is not opened: nothing here asks for it.
    void open(const std::string& streams, const std::string& roofs = "roofs.gpkg", const std::string& more = "") {
        const std::string text = "[footprints]\nsource = \"" + roofs +
                                 "\"\n[terrain]\nelevation = \"dem.tif\"\n[rain]\nsource = \"none.tif\"\n[streams]\n" +
                                 streams + more;
        Findings of_opening;
        m_project = load_project(m_folder.write("basin.toml", text), of_opening);
        m_inputs = open_inputs(m_project, of_opening);
        for (const Finding& finding : of_opening.list()) {
            const bool rain = finding.trouble.where.find("rain") != std::string::npos;
            EXPECT_TRUE(finding.severity != Severity::error || rain) << finding_line(finding);
        }
        m_findings = {};
    }
    [[nodiscard]] Creeks made(const CreekOptions& options = {}) {
        Progress progress(ProgressStyle::none);
        return make_creeks(m_project, m_inputs, options, m_findings, progress);
    }
    // The usual fields of the lines.
    static std::string given(const std::string& more = "") {
        return "source = \"creeks.gpkg\"\nid = \"id\"\nname = \"creek\"\nlow_flow_lps = \"low\"\n" + more;
    }
    // What was told with this severity, a line each.
    [[nodiscard]] std::string told(Severity severity) const {
        std::string text;
        for (const Finding& finding : m_findings.list()) {
            text += finding.severity == severity ? to_text(finding.trouble) + '\n' : "";
        }
        return text;
    }
    [[nodiscard]] std::string warned() const { return told(Severity::warning); }
    [[nodiscard]] std::string noted() const { return told(Severity::note); }

    TempFolder m_folder;
    Project m_project;
    OpenInputs m_inputs;
    Findings m_findings;
};

}  // namespace eaveshed::testing
