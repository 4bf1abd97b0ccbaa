// Opening a vector file and choosing its layer: which formats are read, which layer is meant, what is never touched.
#pragma once

#include <chrono>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/outside/gdal_setup.hpp"
#include "eaveshed/outside/sqlite_guard.hpp"
#include "eaveshed/outside/sqlite_input.hpp"
#include "eaveshed/settings/input_role.hpp"

class OGRLayer;

namespace eaveshed {

// What the row of an input asks of its layer. `setting`: the section's name or the setting's; text behind it
// ("exclusions[2]") does not count. An unknown one needs nothing.
[[nodiscard]] GeometryNeed geometry_need(std::string_view setting);
[[nodiscard]] CrsDuty crs_duty(std::string_view setting);
// Which kind of input it is: what it may be written in (formats_of).
[[nodiscard]] InputKind input_kind(std::string_view setting);

// An open file. Not thread-safe.
class VectorDataset {
public:
    // How long a statement may run without a row: a view of real use gives its first far sooner.
    static constexpr std::chrono::seconds kLongestStatement{60};

    // How large a spreadsheet may be once unpacked: it is held in memory as a whole.
    static constexpr std::uint64_t kLargestSpreadsheet = 512ULL << 20U;

    // Formats: of a call list XLSX and CSV; of measured values also XLSX; of all else GeoPackage, FlatGeobuf, GeoJSON,
    // shapefile, CSV with WKT in a column named WKT, geometry, geom, the_geom or wkt_geom, or, for points, with two
    // columns of numbers. Tells rows of a CSV that are too short or too long. Throws input errors for a path that is no
    // readable file (paths.hpp), for any other format, whatever the file's name says, naming it, for a damaged file and
    // for a shapefile without one of its parts; a passing error for a locked one.
    static VectorDataset open(const std::string& section, const std::string& path, Findings& findings);

    // The layer called `named` (letter case counts only between several that would match); without a name the only
    // layer, else the only one of fitting geometry, with a note. A view is never chosen, nor looked into, unless it is
    // named. Anything else is an input error that lists the layers.
    [[nodiscard]] OGRLayer& choose(const std::string& named, GeometryNeed need, Findings& findings);
    // Whether the places of a layer that was chosen stand in two columns of numbers.
    [[nodiscard]] bool has_point_columns(OGRLayer& layer, GeometryNeed need) const;

    // Every layer but views, in the file's order.
    [[nodiscard]] std::vector<std::string> layer_names() const;

    // Setting and path, for messages.
    [[nodiscard]] const std::string& where() const { return m_where; }
    [[nodiscard]] const std::string& driver() const { return m_driver; }
    // Tells the watch that a new statement begins; whether the last one ran out of time.
    void restart_watch();
    [[nodiscard]] bool ran_out_of_time() const;
    // Whether the last failure lies in a statement, such as one with a filter, and not in the file.
    [[nodiscard]] bool statement_failed() const;
    [[nodiscard]] std::string database_said() const;

private:
    VectorDataset() = default;
    [[nodiscard]] OGRLayer* named_layer(const std::string& named);
    [[nodiscard]] bool is_view(const std::string& layer) const;
    [[nodiscard]] std::string layer_list();
    [[nodiscard]] bool fits(OGRLayer& layer, GeometryNeed need) const;
    [[noreturn]] void report_geometry(OGRLayer& layer, GeometryNeed need);

    std::string m_where;
    std::string m_driver;
    std::optional<SqliteInput> m_sqlite;  // order: closed last
    DatasetHandle m_dataset;
    std::unique_ptr<SqliteWatch> m_watch;  // let go before it
    std::unique_ptr<SqliteReadsOnly> m_reads_only;
};

// Of the attributes, in the layer's order.
[[nodiscard]] std::vector<std::string> field_names(OGRLayer& layer);

}  // namespace eaveshed
