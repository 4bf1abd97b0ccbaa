#include "overlap_look.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include <fmt/format.h>
#include <gdal_priv.h>

#include "eaveshed/network/remote_file.hpp"
#include "eaveshed/outside/remote_names.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kMostPairs = 16;
constexpr std::int64_t kWindowCells = 16;  // side of a window
constexpr double kToldDifferenceM = 0.05;  // what is less, lossy compression may do

struct PiecePair {
    const LaidPiece* below = nullptr;
    const LaidPiece* above = nullptr;
    CellRange shared;  // in the whole
};

std::vector<PiecePair> pairs_of(const std::vector<LaidPiece>& pieces) {
    std::vector<Box> boxes;
    boxes.reserve(pieces.size());
    for (const LaidPiece& piece : pieces) {
        boxes.push_back(inner_edges(piece.range));
    }
    const BoxIndex index(boxes);
    std::vector<PiecePair> pairs;
    for (std::uint32_t i = 0; i < pieces.size(); ++i) {
        for (const std::uint32_t k : index.query(boxes[i])) {
            if (k > i) {
                pairs.push_back({&pieces[i], &pieces[k], pieces[i].range.common_with(pieces[k].range)});
            }
        }
    }
    return pairs;
}

// The files of the pairs that are compared, each opened once: twice kMostPairs at most.
class OpenPieces {
public:
    // A window of a piece in metres; none when it cannot be read.
    std::optional<std::vector<double>> window_of(const LaidPiece& piece, const CellRange& range) {
        const MosaicMember& member = *piece.member;
        const CellRange own = range.seen_from({piece.range.row_begin, piece.range.col_begin});
        const CellRange in_file = member.layout.in_file(own);
        GDALDataset* const file = file_of(member);
        std::vector<double> stored(static_cast<std::size_t>(range.rows() * range.cols()));
        if (file == nullptr || file->GetRasterCount() < member.band ||
            !read_values(*file->GetRasterBand(member.band), member.rule, in_file, stored.data())) {
            return std::nullopt;
        }
        if (member.cover != nullptr) {
            member.cover->hide(in_file, stored.data());
        }
        std::vector<double> values(stored.size());
        for (std::int64_t row = 0; row < in_file.rows(); ++row) {
            for (std::int64_t col = 0; col < in_file.cols(); ++col) {
                const Cell cell = member.layout.in_grid({in_file.row_begin + row, in_file.col_begin + col});
                values[static_cast<std::size_t>((cell.row - own.row_begin) * own.cols() + cell.col - own.col_begin)] =
                    stored[static_cast<std::size_t>(row * in_file.cols() + col)] * member.metres_per_value;
            }
        }
        return values;
    }

private:
    // Null for what cannot be opened.
    GDALDataset* file_of(const MosaicMember& member) {
        const auto [entry, fresh] = m_files.try_emplace(&member);
        if (fresh) {
            const GdalErrors quiet;
            entry->second.reset(GDALDataset::Open(gdal_name(member.file).c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY));
        }
        return entry->second.get();
    }

    std::map<const MosaicMember*, DatasetHandle> m_files;
};

// The windows of an overlap that are compared: its middle and its two ends.
std::vector<CellRange> windows_in(const CellRange& shared) {
    const std::int64_t rows = std::min(kWindowCells, shared.rows());
    const std::int64_t cols = std::min(kWindowCells, shared.cols());
    std::vector<CellRange> windows;
    for (const std::int64_t part : {0, 1, 2}) {
        const std::int64_t row = shared.row_begin + (shared.rows() - rows) * part / 2;
        const std::int64_t col = shared.col_begin + (shared.cols() - cols) * part / 2;
        windows.push_back({row, row + rows, col, col + cols});
    }
    return windows;
}

double greatest_difference(const PiecePair& pair, OpenPieces& files, std::uint64_t& compared) {
    double greatest = 0.0;
    for (const CellRange& window : windows_in(pair.shared)) {
        const auto below = files.window_of(*pair.below, window);
        const auto above = files.window_of(*pair.above, window);
        for (std::size_t i = 0; below && above && i < below->size(); ++i) {
            const double difference = std::abs((*below)[i] - (*above)[i]);
            if (!std::isnan(difference)) {
                ++compared;
                greatest = std::max(greatest, difference);
            }
        }
    }
    return greatest;
}

}  // namespace

void tell_disagreement(const std::string& where, const std::vector<LaidPiece>& pieces, Findings& findings) {
    const std::vector<PiecePair> pairs = pairs_of(pieces);
    OpenPieces files;
    std::uint64_t compared = 0;
    double greatest = 0.0;
    const PiecePair* worst = nullptr;
    const std::size_t looked = std::min(kMostPairs, pairs.size());
    for (std::size_t i = 0; i < looked; ++i) {
        const PiecePair& pair = pairs[i * pairs.size() / looked];
        if (const double difference = greatest_difference(pair, files, compared); difference > greatest) {
            greatest = difference;
            worst = &pair;
        }
    }
    throw_network_fault();
    if (worst != nullptr && greatest > kToldDifferenceM) {
        findings.warn({where,
                       fmt::format("files that overlap and differ by up to {:.2f} m ({} and {}; {} cells of {} of {} "
                                   "overlaps compared)",
                                   greatest, worst->below->member->file, worst->above->member->file, compared, looked,
                                   pairs.size()),
                       "files that agree where they overlap",
                       "the last one in order that has a value counts: look whether they are of one survey and datum, "
                       "or leave one out"});
    }
}

}  // namespace eaveshed
