// Is there a file to read? One answer for all readers, before any library is asked to open it.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace eaveshed {

// A result is a finished file of this program, which is named on the command line.
enum class FileKind : std::uint8_t { vector, raster, result };

// Throws an input error unless `path` is a plain local file with content that this process may read. `setting` is the
// key that named it, e.g. "footprints.source". A missing file: the path as given and in full, the first folder that is
// missing, the nearest name that exists. A folder: the files of the kind inside. An archive, an address in the network,
// a device: what to do instead. An address (network/address.hpp) is asked for, where its host was allowed: a GeoTIFF or
// a FlatGeobuf. Folder and file names in messages are made printable.
void require_readable(const std::string& setting, const std::string& path, FileKind kind);

// A folder that holds a Zarr store (version 2; version 3 is recognised too, so that it can be refused by name).
[[nodiscard]] bool is_zarr_store(const std::string& path);

// Files beside `path` that belong to its content and exist, sorted: the other parts of a shapefile, the write-ahead log
// of a GeoPackage, the column types of a CSV, the side files of a raster (of one behind an address FILE.aux.xml and
// FILE.msk). They belong into its fingerprint.
[[nodiscard]] std::vector<std::string> companion_files(const std::string& path);

}  // namespace eaveshed
