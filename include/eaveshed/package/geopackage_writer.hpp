// The finished product: an OGC GeoPackage 1.3 (OGC 12-128r17), built under a temporary name and put in place in one
// step.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/record/result_writer.hpp"
#include "eaveshed/record/table.hpp"
#include "eaveshed/record/values.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

struct LayerColumn {
    std::string name;
    std::string unit;
    std::string title;
    std::string meaning;
    ColumnType type = ColumnType::text;
    std::string closed_list;  // name of the closed list whose terms are the only values; empty: any
};

// How viewers draw a layer, or show a table, when they open the file.
struct LayerStyle {
    std::string name;
    std::string description;
    std::string sld;  // OGC Styled Layer Descriptor; empty for a table without a geometry
    std::string qml;
};

struct LayerSpec {
    std::string name;
    std::string title;
    std::string meaning;
    LayerShape shape = LayerShape::none;
    std::vector<LayerColumn> columns;
    std::optional<LayerStyle> style;
};

// Rows of one layer that belong to a row of another: those with the same text in `key`. Where several rows of `base`
// have the text, the first counts.
struct LayerRelation {
    std::string base;
    std::string related;
    std::string key;
};

struct GeoPackageSpec {
    Crs crs;                // of every layer with a geometry
    std::string timestamp;  // 2026-11-25T10:13:00.000Z: all times in the file, so that equal runs give equal bytes
    std::vector<LayerSpec> layers;
    std::vector<ClosedList> closed_lists;  // their terms outlive the writer
    std::vector<LayerRelation> relations;  // between the layers
    // A folder on the output's file system, in which nobody else writes, for the file while it is built.
    std::filesystem::path build_in;
};

// One thread at a time writes. Without `finish` the temporary file is removed and nothing stands under the final name.
// No room is a passing error, other failures of the library are working errors with its text.
class GeoPackageWriter final : public ResultWriter {
public:
    GeoPackageWriter(const std::filesystem::path& output, GeoPackageSpec spec);
    ~GeoPackageWriter() override;
    GeoPackageWriter(const GeoPackageWriter&) = delete;
    GeoPackageWriter& operator=(const GeoPackageWriter&) = delete;

    // Rows get the numbers 1, 2, 3, ... `layer` is the position in the spec; `values` as its columns.
    void add(std::size_t layer, std::span<const Value> values);
    void add(std::size_t layer, const MultiPolygon& outline, std::span<const Value> values);  // empty: null geometry
    void add(std::size_t layer, Point place, double z, std::span<const Value> values);
    // Many at once; `put` may be called while another thread writes.
    void put(const MultiPolygon& outline, RowBatch& batch) const override;
    void put(Point place, double z, RowBatch& batch) const override;
    void put(const Segment& line, double z_from, double z_to, RowBatch& batch) const override;
    void put(const Line& line, RowBatch& batch) const override;
    void add(const RowBatch& batch) override;
    // No row of this layer comes any more: its spatial index is written now and its boxes leave the memory.
    void complete(std::size_t layer) override;
    // Plain text that describes the whole file (gpkg_metadata).
    void add_metadata(const std::string& text) override;

    // Indexes and extents; then the file is closed, looked at as a stranger would (package_check.hpp) and put in place
    // of `output`.
    void finish() override;

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

}  // namespace eaveshed
