// The rain of single tiles, out of the file in which the basin's is kept.
#pragma once

#include <cstddef>
#include <list>
#include <map>
#include <memory>
#include <span>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/core/step_field.hpp"
#include "eaveshed/feed/basin_climate.hpp"
#include "eaveshed/rain/record.hpp"
#include "eaveshed/site/tile_input.hpp"
#include "eaveshed/store/kept_field.hpp"

namespace eaveshed {

class RainFromFile final : public TileRain {
public:
    // `most_kept_bytes`: what it may remember; at least one series is.
    RainFromFile(std::shared_ptr<const RainRecord> record, FieldInFile field, std::size_t most_kept_bytes);

    // The series that sampling at the sites' roofs makes use of, and no others.
    [[nodiscard]] SparseStepField sampled_by(const std::vector<TileSite>& sites);
    [[nodiscard]] RainOfPlaces around(const std::vector<TileSite>& sites) override {
        return std::make_shared<SparseStepField>(sampled_by(sites));
    }

    // How many series were read from the file so far.
    [[nodiscard]] std::size_t reads() const { return m_reads; }

private:
    struct Kept {
        Cell cell;
        std::vector<double> depths_mm;
    };

    // As the record has its depths; valid until the next call.
    std::span<const double> series_of(Cell cell);
    std::vector<double> read(Cell cell);

    std::shared_ptr<const RainRecord> m_record;
    FieldInFile m_field;
    std::size_t m_most_kept_bytes;
    std::list<Kept> m_kept;  // the last used in front
    std::map<Cell, std::list<Kept>::iterator> m_place;
    std::size_t m_reads = 0;
};

}  // namespace eaveshed
