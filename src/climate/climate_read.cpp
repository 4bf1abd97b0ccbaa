// Cells of a climate stack into a step field.
#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <memory>
#include <span>
#include <tuple>
#include <utility>
#include <variant>
#include <vector>

#include <fmt/format.h>
#include <gdal_priv.h>

#include "eaveshed/climate/climate_stack.hpp"
#include "eaveshed/climate/cumulative.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/network/remote_file.hpp"
#include "eaveshed/outside/remote_names.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::int64_t kMargin = 4;              // cells around the area
constexpr std::int64_t kChunkValues = 4 << 20;   // 32 MiB of doubles in one call
constexpr std::int64_t kLeastValues = 64 << 10;  // the same where there is little room
constexpr double kTurn = 360.0;

// The stack's grid as the area sees it: moved by whole turns, and begun at another column (grids round the Earth).
struct View {
    Grid grid;
    CellRange window;
    std::int64_t first_col = 0;  // column of the file that is column 0 here
};

CellRange window_around(const Grid& grid, const Box& area) {
    return grid.cells_around(area).grown(kMargin).common_with(grid.cells());
}

bool round_the_earth(const Grid& grid) {
    constexpr double kClosed = 0.01;  // cells
    return std::abs(grid.cell_width * static_cast<double>(grid.cols) - kTurn) < kClosed * grid.cell_width;
}

bool holds_with_margin(const Grid& grid, const Box& area) {
    const double margin = static_cast<double>(kMargin) * grid.cell_width;
    return area.x_min - margin >= grid.x_min && area.x_max + margin <= grid.x_max();
}

// Whole turns first; where the area then lies across the meridian at which a grid round the Earth begins, the grid is
// begun half way round.
void match_longitudes(View& view, const Box& area) {
    Grid& grid = view.grid;
    const double middle = 0.5 * (area.x_min + area.x_max);
    grid.x_min += kTurn * std::round((middle - 0.5 * (grid.x_min + grid.x_max())) / kTurn);
    if (holds_with_margin(grid, area) || !round_the_earth(grid)) {
        return;
    }
    Grid begun_elsewhere = grid;
    const std::int64_t half = grid.cols / 2;
    const double to_west = middle < 0.5 * (grid.x_min + grid.x_max()) ? kTurn : 0.0;
    begun_elsewhere.x_min += static_cast<double>(half) * grid.cell_width - to_west;
    if (holds_with_margin(begun_elsewhere, area)) {
        grid = begun_elsewhere;
        view.first_col = half;
    }
}

// The grid as it lies to the area; none where the two do not come near each other. `area` is not empty.
std::optional<View> view_near(const ClimateStack& stack, const Box& area) {
    View view{stack.grid, {}, 0};
    if (stack.crs.is_geographic()) {
        match_longitudes(view, area);
    }
    const double dx = static_cast<double>(kMargin) * view.grid.cell_width;
    const double dy = static_cast<double>(kMargin) * view.grid.cell_height;
    if (!area.grown(dx, dy).intersects(view.grid.extent())) {
        return std::nullopt;
    }
    view.window = window_around(view.grid, area);
    return view;
}

View view_of(const ClimateStack& stack, const Box& area) {
    if (area.empty()) {
        return {stack.grid, {}, 0};
    }
    if (const auto view = view_near(stack, area)) {
        return *view;
    }
    throw input_error(stack.where,
                      fmt::format("a grid from {} to {} and from {} to {} in {}", stack.grid.x_min, stack.grid.x_max(),
                                  stack.grid.y_min(), stack.grid.y_max, stack.crs.name()),
                      fmt::format("one that covers the footprints, there from {} to {} and from {} to {}", area.x_min,
                                  area.x_max, area.y_min, area.y_max),
                      "name a grid of this area, or correct the coordinate reference system of one of them");
}

// Takes one step of a rectangle of cells, row by row.
using Take = std::function<void(const CellRange& cells, std::size_t step, std::span<const double> values)>;

// Sums the bands of a step, cell by cell, and hands the step on when all were put. What is missing makes the sum
// missing.
class StepSum {
public:
    StepSum(int per_step, const Take& take, DayTrend* trend) : m_per_step(per_step), m_take(take), m_trend(trend) {}

    void put(const CellRange& cells, std::size_t step, std::span<const double> values) {
        if (m_per_step == 1) {
            m_take(cells, step, values);
            return;
        }
        const std::tuple key(step, cells.row_begin, cells.col_begin);
        Part& part = m_open[key];
        if (part.count == 0) {
            part.sum.assign(values.begin(), values.end());
        }
        for (std::size_t i = 0; part.count > 0 && i < values.size(); ++i) {
            part.sum[i] += values[i];
        }
        for (std::size_t i = 0; m_trend != nullptr && !part.last.empty() && i < values.size(); ++i) {
            m_trend->add(static_cast<std::size_t>(part.count), part.last[i], values[i]);
        }
        part.last.assign(values.begin(), values.end());
        if (++part.count == m_per_step) {
            m_take(cells, step, part.sum);
            m_open.erase(key);
        }
    }

private:
    struct Part {
        int count = 0;
        std::vector<double> sum;
        std::vector<double> last;
    };
    int m_per_step;
    const Take& m_take;
    DayTrend* m_trend;
    std::map<std::tuple<std::size_t, std::int64_t, std::int64_t>, Part> m_open;  // by step and corner
};

using Steps = std::vector<BandOfStep>;

// One file's share of the steps, read in pieces that bound the memory and follow the file's own order.
class StepReader {
public:
    StepReader(const ClimateStack& stack, const View& view, const Conversion& convert, StepSum& sum,
               std::int64_t chunk_values)
        : m_stack(stack), m_view(view), m_convert(convert), m_sum(sum), m_chunk_values(chunk_values) {}

    // `steps`: of this file's bands. `by_pixel`: all bands of a cell lie together and may be read so.
    void read(std::size_t file, const Steps& steps, bool by_pixel) {
        m_file = &m_stack.files[file];
        m_by_pixel = by_pixel && m_file->pixel_interleaved;
        m_dataset = file == 0 ? m_stack.opened : nullptr;
        if (!m_dataset) {
            open();
        }
        // Columns of the view that lie together in the file.
        const std::int64_t cols = m_file->layout.grid.cols;
        for (std::int64_t col = m_view.window.col_begin; col < m_view.window.col_end;) {
            const std::int64_t file_col = (col + m_view.first_col) % cols;
            const std::int64_t end = std::min(m_view.window.col_end, col + cols - file_col);
            read_columns({m_view.window.row_begin, m_view.window.row_end, col, end}, file_col, steps);
            col = end;
        }
    }

private:
    void open() {
        const GdalErrors errors;
        if (m_file->array) {
            m_array.emplace(*m_file->array);
        } else {
            m_dataset = DatasetHandle(GDALDataset::Open(gdal_name(m_file->path).c_str(),
                                                        GDAL_OF_RASTER | GDAL_OF_READONLY, nullptr, nullptr, nullptr));
        }
        const bool same = m_file->array
                              ? m_array->intact()
                              : m_dataset != nullptr && m_dataset->GetRasterXSize() == m_file->layout.grid.cols &&
                                    m_dataset->GetRasterYSize() == m_file->layout.grid.rows &&
                                    static_cast<std::size_t>(m_dataset->GetRasterCount()) == m_file->rules.size();
        if (!same) {
            throw working_error(m_stack.where, fmt::format("\"{}\" is no longer what it was", m_file->path),
                                "the file as it was opened", "leave the inputs alone while the program runs");
        }
    }

    void read_columns(const CellRange& range, std::int64_t file_col, const Steps& steps) {
        const auto bands = static_cast<std::int64_t>(steps.size());
        std::int64_t band_piece = 0;
        std::int64_t row_piece = 0;
        std::int64_t col_piece = 0;
        if (m_by_pixel) {  // all bands of a cell lie together
            band_piece = std::min(bands, m_chunk_values);
            col_piece = std::clamp<std::int64_t>(m_chunk_values / band_piece, 1, range.cols());
            row_piece = std::clamp<std::int64_t>(m_chunk_values / (band_piece * col_piece), 1, range.rows());
        } else {
            col_piece = std::min(range.cols(), m_chunk_values);
            row_piece = std::clamp<std::int64_t>(m_chunk_values / col_piece, 1, range.rows());
            band_piece = std::clamp<std::int64_t>(m_chunk_values / (row_piece * col_piece), 1, bands);
        }
        for (std::int64_t row = range.row_begin; row < range.row_end; row += row_piece) {
            for (std::int64_t col = range.col_begin; col < range.col_end; col += col_piece) {
                const CellRange piece{row, std::min(row + row_piece, range.row_end), col,
                                      std::min(col + col_piece, range.col_end)};
                for (std::int64_t band = 0; band < bands; band += band_piece) {
                    const auto begin = steps.begin() + band;
                    read_piece(piece, file_col + col - range.col_begin,
                               Steps(begin, begin + std::min(band_piece, bands - band)));
                }
            }
        }
    }

    void read_piece(const CellRange& piece, std::int64_t file_col, const Steps& steps) {
        const auto cells = static_cast<std::size_t>(piece.rows() * piece.cols());
        m_values.resize(cells * steps.size());
        if (m_file->array) {
            read_array({piece.row_begin, piece.row_end, file_col, file_col + piece.cols()}, steps);
        } else {
            read_bands(piece, file_col, steps);
        }
        for (std::size_t i = 0; i < steps.size(); ++i) {
            double* const values = m_values.data() + i * cells;
            convert(steps[i].band, steps[i].step, {values, cells});
            m_sum.put(piece, steps[i].step, {values, cells});
        }
    }

    // Bands that follow each other in one call.
    void read_array(const CellRange& cells, const Steps& steps) {
        const auto size = static_cast<std::size_t>(cells.rows() * cells.cols());
        const GdalErrors errors;
        for (std::size_t begin = 0; begin < steps.size();) {
            const int first = m_stack.bands[steps[begin].band].band;
            std::size_t count = 1;
            while (begin + count < steps.size() &&
                   m_stack.bands[steps[begin + count].band].band == first + static_cast<int>(count)) {
                ++count;
            }
            if (!m_array->read(cells, static_cast<std::size_t>(first - 1), count, m_values.data() + begin * size) ||
                errors.failures() > 0) {
                report_unreadable(errors.text());
            }
            begin += count;
        }
    }

    void read_bands(const CellRange& piece, std::int64_t file_col, const Steps& steps) {
        m_bands.clear();
        for (const BandOfStep& entry : steps) {
            m_bands.push_back(m_stack.bands[entry.band].band);
        }
        const auto x = static_cast<int>(file_col);
        const auto y = static_cast<int>(file_row_begin(m_file->layout, piece));
        const auto width = static_cast<int>(piece.cols());
        const auto height = static_cast<int>(piece.rows());
        const auto cells = static_cast<std::size_t>(piece.rows() * piece.cols());
        const GdalErrors errors;
        const CPLErr outcome =
            m_dataset->RasterIO(GF_Read, x, y, width, height, m_values.data(), width, height, GDT_Float64,
                                static_cast<int>(m_bands.size()), m_bands.data(), 0, 0, 0, nullptr);
        if (outcome != CE_None || errors.failures() > 0) {
            report_unreadable(errors.text());
        }
        for (std::size_t i = 0; i < steps.size(); ++i) {
            double* const values = m_values.data() + i * cells;
            hide_masked(steps[i].band, x, y, width, height, values);
            if (m_file->layout.south_up) {
                turn_rows(values, piece.rows(), piece.cols());
            }
        }
    }

    void hide_masked(std::size_t band, int x, int y, int width, int height, double* values) {
        const int number = m_stack.bands[band].band;
        if (!m_file->rules[static_cast<std::size_t>(number - 1)].masked) {
            return;
        }
        m_mask.resize(static_cast<std::size_t>(width) * static_cast<std::size_t>(height));
        const GdalErrors errors;
        const CPLErr outcome = m_dataset->GetRasterBand(number)->GetMaskBand()->RasterIO(
            GF_Read, x, y, width, height, m_mask.data(), width, height, GDT_Byte, 0, 0, nullptr);
        if (outcome != CE_None || errors.failures() > 0) {
            report_unreadable(errors.text());
        }
        for (std::size_t i = 0; i < m_mask.size(); ++i) {
            values[i] = m_mask[i] == 0 ? kMissing : values[i];
        }
    }

    void convert(std::size_t band, std::size_t step, std::span<double> values) {
        const BandRule& rule = m_file->rules[static_cast<std::size_t>(m_stack.bands[band].band - 1)];
        for (double& stored : values) {
            const bool beyond = stored < m_file->least || stored > m_file->most;
            const double value = beyond ? kMissing : rule.value(stored);
            stored = std::isnan(value) ? kMissing : m_convert(step, value, band);
        }
    }

    [[noreturn]] void report_unreadable(const std::string& said) const {
        throw_network_fault();
        throw working_error(m_stack.where,
                            fmt::format("a part of \"{}\" that cannot be read: {}", m_file->path, printable(said, 500)),
                            "readable values around the footprints", "get the file again: it is damaged or cut short");
    }

    const ClimateStack& m_stack;
    const View& m_view;
    const Conversion& m_convert;
    StepSum& m_sum;
    std::int64_t m_chunk_values;
    const StackFile* m_file = nullptr;
    bool m_by_pixel = false;
    std::shared_ptr<GDALDataset> m_dataset;
    std::optional<ArrayReader> m_array;
    std::vector<int> m_bands;
    std::vector<double> m_values;
    std::vector<unsigned char> m_mask;
};

// Bytes of a window's series. Their count fits, whatever the files say of themselves.
std::uint64_t bytes_of(const ClimateStack& stack, const FieldFrame& field) {
    constexpr std::uint64_t kMostBytes = 1ULL << 62;
    const auto cells = static_cast<std::uint64_t>(field.window.rows() * field.window.cols());
    const std::uint64_t steps = field.steps;
    if (steps == 0 || cells > kMostBytes / sizeof(double) / steps) {
        throw input_error(stack.where, fmt::format("{} cells of {} steps over the footprints", cells, steps),
                          "a record that can be numbered", "use a coarser grid");
    }
    return cells * steps * sizeof(double);
}

[[noreturn]] void report_too_large(const ClimateStack& stack, const FieldFrame& field, std::uint64_t most_bytes) {
    throw input_error(
        stack.where,
        fmt::format("{} cells of {} steps over the footprints", field.window.rows() * field.window.cols(), field.steps),
        fmt::format("at most {} values", most_bytes / sizeof(double)),
        "use a coarser grid: it varies little from one roof to the next");
}

void read_files(const ClimateStack& stack, const View& view, const StepPlan& plan, const Conversion& convert,
                const Take& take, std::int64_t chunk_values, DayTrend* trend) {
    std::vector<Steps> by_file(stack.files.size());
    for (const BandOfStep& entry : plan.bands) {
        by_file[stack.bands[entry.band].file].push_back(entry);
    }
    StepSum sum(plan.per_step, take, trend);
    for (std::size_t file = 0; file < by_file.size(); ++file) {
        if (!by_file[file].empty() && !view.window.empty()) {
            StepReader(stack, view, convert, sum, chunk_values).read(file, by_file[file], plan.per_step == 1);
        }
    }
}

Take into_memory(StepField& field) {
    return [&field](const CellRange& cells, std::size_t step, std::span<const double> values) {
        const CellRange& window = field.window;
        const double* value = values.data();
        for (std::int64_t row = cells.row_begin; row < cells.row_end; ++row) {
            for (std::int64_t col = cells.col_begin; col < cells.col_end; ++col) {
                const auto cell =
                    static_cast<std::size_t>((row - window.row_begin) * window.cols() + (col - window.col_begin));
                field.values[cell * field.steps + step] = *value++;
            }
        }
    };
}

}  // namespace

bool stack_reaches(const ClimateStack& stack, const Box& area) {
    return !area.empty() && view_near(stack, area);
}

KeptField read_stack(const ClimateStack& stack, const Box& area, const StepPlan& plan, const Conversion& convert,
                     const SeriesRoom& room, DayTrend* trend) {
    const View view = view_of(stack, area);
    const FieldFrame frame{view.grid, view.window, plan.steps};
    const std::uint64_t bytes = bytes_of(stack, frame);
    if (bytes <= room.most_bytes) {
        StepField field(frame, std::vector<double>(bytes / sizeof(double), kMissing));
        read_files(stack, view, plan, convert, into_memory(field), kChunkValues, trend);
        return field;
    }
    if (room.beyond.empty()) {
        report_too_large(stack, frame, room.most_bytes);
    }
    const auto file = std::make_shared<SeriesFile>(room.beyond, frame.window, frame.steps);
    // Two buffers, for maps and for series: together half the room that there is.
    const std::int64_t chunk_values =
        std::clamp(static_cast<std::int64_t>(room.most_bytes / (4 * sizeof(double))), kLeastValues, kChunkValues);
    SeriesWriter writer(*file, static_cast<std::size_t>(chunk_values));
    read_files(
        stack, view, plan, convert,
        [&](const CellRange& cells, std::size_t step, std::span<const double> values) {
            writer.put(cells, step, values);
        },
        chunk_values, trend);
    writer.finish();
    return FieldInFile{frame.grid, file};
}

StepField read_stack(const ClimateStack& stack, const Box& area, const StepPlan& plan, const Conversion& convert) {
    // Twelve values a cell, of what varies over kilometres: more than this is a mistake, or meant to be one.
    constexpr std::uint64_t kMostBytes = 1ULL << 30;
    return std::get<StepField>(
        read_stack(stack, area, plan, convert, SeriesRoom{.most_bytes = kMostBytes, .beyond = {}}));
}

}  // namespace eaveshed
