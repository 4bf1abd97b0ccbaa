#include "shapefile_look.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <optional>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;

constexpr const char* kShapefile =
    "a shapefile with all its parts: .shp, .shx, .dbf and .prj, of one name, in one folder";

// Bytes of the headers, and of one feature in the index.
constexpr std::uint64_t kHeaderBytes = 100;
constexpr std::uint64_t kIndexBytes = 8;
constexpr std::size_t kLengthAt = 24;  // in 16-bit words, most significant byte first
constexpr std::size_t kRowsAt = 4;     // of the table, least significant byte first, as its other numbers
constexpr std::size_t kTableHeaderAt = 8;
constexpr std::size_t kRowBytesAt = 10;

struct Part {
    std::string name;  // without its folder
    std::uint64_t bytes = 0;
    std::vector<unsigned char> head;

    // A number of `size` bytes in the header; 0 where that ends before.
    [[nodiscard]] std::uint64_t number(std::size_t at, std::size_t size, bool most_first) const {
        std::uint64_t value = 0;
        for (std::size_t i = 0; i < size && at + size <= head.size(); ++i) {
            value = value << 8U | head[most_first ? at + i : at + size - 1 - i];
        }
        return value;
    }
};

// The part beside a .shp with this ending, in whatever case; none where there is no such file.
std::optional<Part> part_of(const fs::path& shp, std::string_view ending) {
    std::error_code fault;
    const fs::path folder = shp.has_parent_path() ? shp.parent_path() : fs::path(".");
    for (fs::directory_iterator entry(folder, fault); !fault && entry != fs::directory_iterator();
         entry.increment(fault)) {
        const fs::path& path = entry->path();
        if (path.stem() != shp.stem() || lower_case(path.extension().string()) != ending) {
            continue;
        }
        Part part{path.filename().string(), fs::file_size(path, fault), {}};
        part.head.resize(kHeaderBytes);
        std::ifstream file(path, std::ios::binary);
        file.read(reinterpret_cast<char*>(part.head.data()), static_cast<std::streamsize>(part.head.size()));
        part.head.resize(static_cast<std::size_t>(std::max<std::streamsize>(0, file.gcount())));
        return part;
    }
    return std::nullopt;
}

Part required_part(const std::string& where, const fs::path& shp, std::string_view ending) {
    auto part = part_of(shp, ending);
    if (!part) {
        throw input_error(where, fmt::format("a shapefile without its {} part", ending), kShapefile,
                          "copy all its parts together from where they came");
    }
    return std::move(*part);
}

void require_length(const std::string& where, const Part& part, std::uint64_t stated_bytes) {
    if (part.bytes < stated_bytes) {
        throw input_error(where,
                          fmt::format("a damaged shapefile: '{}' says that it has {} bytes and has {}",
                                      printable(part.name), stated_bytes, part.bytes),
                          kShapefile, "copy it again from where it came: its end is missing");
    }
}

}  // namespace

bool is_shapefile_part(const std::string& path) {
    constexpr std::array<std::string_view, 4> kEndings{".shp", ".shx", ".dbf", ".prj"};
    return std::ranges::find(kEndings, lower_case(fs::path(path).extension().string())) != kEndings.end();
}

void require_whole_shapefile(const std::string& where, const std::string& path) {
    const fs::path file(path);
    if (lower_case(file.extension().string()) != ".shp") {
        const auto whole = part_of(file, ".shp");
        throw input_error(where, "one of the parts of a shapefile", "the part that ends in .shp",
                          whole ? fmt::format("name '{}'", printable(whole->name)) : "copy all its parts together");
    }
    const Part shapes = required_part(where, file, ".shp");
    const Part index = required_part(where, file, ".shx");
    const Part table = required_part(where, file, ".dbf");
    for (const Part* const part : {&shapes, &index}) {
        require_length(where, *part, 2 * part->number(kLengthAt, 4, true));
    }
    const std::uint64_t rows = table.number(kRowsAt, 4, false);
    require_length(where, table, table.number(kTableHeaderAt, 2, false) + rows * table.number(kRowBytesAt, 2, false));
    const std::uint64_t stated = 2 * index.number(kLengthAt, 4, true);
    const std::uint64_t count = stated < kHeaderBytes ? 0 : (stated - kHeaderBytes) / kIndexBytes;
    if (count != rows) {
        throw input_error(
            where,
            fmt::format("parts that do not belong together: {} with shapes in '{}', {} in '{}'",
                        counted(count, "feature"), printable(index.name), counted(rows, "row"), printable(table.name)),
            kShapefile, "copy all its parts together from where they came");
    }
}

}  // namespace eaveshed
