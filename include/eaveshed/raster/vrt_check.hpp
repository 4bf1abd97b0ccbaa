// A look at a VRT before GDAL sees it: a VRT can name any file of the machine, a network address or a program.
#pragma once

#include <string>
#include <vector>

namespace eaveshed {

// What a VRT may be: plain mosaics and stacks. Elements outside a short list (raw, derived, warped or pan-sharpened
// bands, filters, open options) are input errors, as are sources that are no plain local file, nested VRTs more than
// three deep, cycles, sources that are missing (the first 20 are listed) and sources of a format outside `drivers`.
// A file that is no VRT passes.
void check_vrt(const std::string& where, const std::string& path, const std::vector<std::string>& drivers);

}  // namespace eaveshed
