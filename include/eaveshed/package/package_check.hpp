// Whether a GeoPackage on disk is the one that was meant: looked at as a stranger would, by SQLite alone and after the
// writer has closed it. A library that overlooked one failing write shows here, before anything stands under the
// result's name.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/package/geopackage_writer.hpp"

namespace eaveshed {

// What was handed to the writer.
struct LayerContent {
    std::int64_t rows = 0;
    std::int64_t shapes = 0;  // rows with a geometry
    Box extent;
};
struct PackageContent {
    std::vector<LayerContent> layers;   // as the spec's
    std::vector<std::int64_t> pairs;    // as the spec's relations
    std::vector<std::string> metadata;  // each text
};

// Structure and pages of the file, every table and column of the spec with its registration, the number of rows,
// geometries, index entries and related pairs, extents, and that each index holds the rows that have a geometry. What
// is amiss is a working error that names `output`; a disk without room or a lock is a passing one.
void require_sound_package(const std::filesystem::path& file, const std::filesystem::path& output,
                           const GeoPackageSpec& spec, const PackageContent& content);

}  // namespace eaveshed
