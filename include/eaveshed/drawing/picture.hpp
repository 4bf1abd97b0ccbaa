// Pictures inside a page: a PNG (ISO/IEC 15948) as the address of its own content (RFC 2397).
#pragma once

#include <cstdint>
#include <span>
#include <string>

#include "eaveshed/drawing/hillshade.hpp"

namespace eaveshed {

// RFC 4648, section 4, with padding.
[[nodiscard]] std::string base64(std::span<const std::uint8_t> bytes);

// "data:image/png;base64,..." of grey with transparency, 8 bits each. Equal images give equal texts with one version of
// libpng and zlib. An image without cells, or with another number of values than cells, is a broken invariant.
[[nodiscard]] std::string png_uri(const GreyImage& image);

}  // namespace eaveshed
