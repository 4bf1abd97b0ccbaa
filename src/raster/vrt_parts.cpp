#include "eaveshed/raster/vrt_parts.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <limits>
#include <memory>
#include <sstream>

#include <cpl_minixml.h>
#include <cpl_string.h>

#include "eaveshed/core/raster.hpp"

namespace eaveshed {

namespace {

struct XmlDeleter {
    void operator()(CPLXMLNode* node) const noexcept { CPLDestroyXMLNode(node); }
};
using XmlTree = std::unique_ptr<CPLXMLNode, XmlDeleter>;

XmlTree xml_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    return XmlTree(CPLParseXMLString(text.str().c_str()));
}

struct Window {
    double x = 0.0;
    double y = 0.0;
    double width = 0.0;
    double height = 0.0;
};

double number_at(const CPLXMLNode* node, const char* key, double otherwise) {
    const char* const text = CPLGetXMLValue(node, key, nullptr);
    return text != nullptr ? CPLAtof(text) : otherwise;
}

Window window_of(const CPLXMLNode* rect, const Window& otherwise) {
    if (rect == nullptr) {
        return otherwise;
    }
    return {number_at(rect, "xOff", 0.0), number_at(rect, "yOff", 0.0), number_at(rect, "xSize", otherwise.width),
            number_at(rect, "ySize", otherwise.height)};
}

std::int64_t rounded(double value, double most) {
    return static_cast<std::int64_t>(std::clamp(std::floor(value + 0.5), 0.0, most));
}

bool whole_number(double value) {
    return value == std::floor(value);
}

constexpr long kMostBands = std::numeric_limits<int>::max();

VrtPart part_of(const CPLXMLNode* source, const std::filesystem::path& folder, const Window& whole) {
    VrtPart part;
    const std::filesystem::path named(CPLGetXMLValue(source, "SourceFilename", ""));
    const bool relative = std::strcmp(CPLGetXMLValue(source, "SourceFilename.relativeToVRT", "0"), "0") != 0;
    part.file = (relative ? folder / named : named).string();
    part.scaled = CPLGetXMLNode(source, "ScaleRatio") != nullptr || CPLGetXMLNode(source, "ScaleOffset") != nullptr;
    part.band = static_cast<int>(
        std::clamp(std::strtol(CPLGetXMLValue(source, "SourceBand", "1"), nullptr, 10), 1L, kMostBands));
    const Window to = window_of(CPLGetXMLNode(source, "DstRect"), whole);
    const Window from = window_of(CPLGetXMLNode(source, "SrcRect"), {0.0, 0.0, to.width, to.height});
    part.cells = {rounded(to.y, whole.height), rounded(to.y + to.height, whole.height), rounded(to.x, whole.width),
                  rounded(to.x + to.width, whole.width)};
    part.plain = from.width == to.width && from.height == to.height && whole_number(from.x) && whole_number(from.y) &&
                 whole_number(to.x) && whole_number(to.y) && to.x >= 0.0 && to.y >= 0.0;
    part.first = {static_cast<std::int64_t>(from.y), static_cast<std::int64_t>(from.x)};
    return part;
}

bool covers(const std::vector<CellRange>& parts, std::int64_t rows, std::int64_t cols) {
    std::vector<std::int64_t> cuts{0, rows};
    for (const CellRange& part : parts) {
        cuts.push_back(part.row_begin);
        cuts.push_back(part.row_end);
    }
    std::ranges::sort(cuts);
    cuts.erase(std::unique(cuts.begin(), cuts.end()), cuts.end());
    std::vector<CellRange> by_column = parts;
    std::ranges::sort(by_column, {}, &CellRange::col_begin);
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
        std::int64_t reached = 0;
        for (const CellRange& part : by_column) {
            if (part.row_begin <= cuts[i] && part.row_end > cuts[i] && part.col_begin <= reached) {
                reached = std::max(reached, part.col_end);
            }
        }
        if (reached < cols) {
            return false;
        }
    }
    return true;
}

BoxIndex index_over(const std::vector<CellRange>& parts) {
    std::vector<Box> boxes(parts.size());
    std::ranges::transform(parts, boxes.begin(), &CellRange::edges);
    return BoxIndex(boxes);
}

}  // namespace

std::vector<VrtPart> parts_of_vrt(const std::string& path, int band) {
    const XmlTree tree = xml_of(path);
    const CPLXMLNode* const root = tree != nullptr ? CPLGetXMLNode(tree.get(), "=VRTDataset") : nullptr;
    std::vector<VrtPart> parts;
    if (root == nullptr) {
        return parts;
    }
    const Window whole{0.0, 0.0, number_at(root, "rasterXSize", 0.0), number_at(root, "rasterYSize", 0.0)};
    int next = 0;
    for (const CPLXMLNode* node = root->psChild; node != nullptr; node = node->psNext) {
        if (node->eType != CXT_Element || !EQUAL(node->pszValue, "VRTRasterBand") || ++next != band) {
            continue;
        }
        for (const CPLXMLNode* source = node->psChild; source != nullptr; source = source->psNext) {
            if (source->eType == CXT_Element &&
                (EQUAL(source->pszValue, "SimpleSource") || EQUAL(source->pszValue, "ComplexSource"))) {
                parts.push_back(part_of(source, std::filesystem::path(path).parent_path(), whole));
            }
        }
    }
    return parts;
}

VrtCover::VrtCover(const std::vector<VrtPart>& parts, std::int64_t rows, std::int64_t cols) {
    for (const VrtPart& part : parts) {
        m_parts.push_back(part.cells);
    }
    m_index = index_over(m_parts);
    m_everywhere = covers(m_parts, rows, cols);
}

void VrtCover::hide(const CellRange& range, double* values) const {
    std::vector<bool> covered(static_cast<std::size_t>(range.rows() * range.cols()), false);
    for (const std::uint32_t position : m_index.query(range.edges())) {
        const CellRange& part = m_parts[position];
        const std::int64_t begin = std::max(part.col_begin, range.col_begin) - range.col_begin;
        const std::int64_t end = std::min(part.col_end, range.col_end) - range.col_begin;
        for (std::int64_t row = std::max(part.row_begin, range.row_begin); row < std::min(part.row_end, range.row_end);
             ++row) {
            const std::int64_t at = (row - range.row_begin) * range.cols();
            for (std::int64_t col = begin; col < end; ++col) {
                covered[static_cast<std::size_t>(at + col)] = true;
            }
        }
    }
    for (std::size_t i = 0; i < covered.size(); ++i) {
        values[i] = covered[i] ? values[i] : kMissing;
    }
}

}  // namespace eaveshed
