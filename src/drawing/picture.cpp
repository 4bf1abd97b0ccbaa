#include "eaveshed/drawing/picture.hpp"

#include <openssl/evp.h>
#include <png.h>
#include <new>

#include <vector>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

std::string base64(std::span<const std::uint8_t> bytes) {
    constexpr std::size_t kGroup = 3;
    constexpr std::size_t kLetters = 4;
    std::vector<std::uint8_t> letters((bytes.size() + kGroup - 1) / kGroup * kLetters + 1);
    const int written = EVP_EncodeBlock(letters.data(), bytes.data(), static_cast<int>(bytes.size()));
    return {letters.begin(), letters.begin() + written};
}

std::string png_uri(const GreyImage& image) {
    const auto cells = static_cast<std::size_t>(image.rows * image.cols);
    if (cells == 0 || image.grey.size() != cells || image.alpha.size() != cells) {
        internal_error("a picture whose values do not fill it");
    }
    std::vector<std::uint8_t> pixels;
    pixels.reserve(2 * cells);
    for (std::size_t i = 0; i < cells; ++i) {
        pixels.push_back(image.grey[i]);
        pixels.push_back(image.alpha[i]);
    }
    png_image header{};
    header.version = PNG_IMAGE_VERSION;
    header.width = static_cast<png_uint_32>(image.cols);
    header.height = static_cast<png_uint_32>(image.rows);
    header.format = PNG_FORMAT_GA;
    png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(header);
    std::vector<std::uint8_t> png(size);
    if (png_image_write_to_memory(&header, png.data(), &size, 0, pixels.data(), 0, nullptr) == 0) {
        throw std::bad_alloc();  // what is left that libpng can fail for
    }
    return "data:image/png;base64," + base64(std::span(png).first(size));
}

}  // namespace eaveshed
