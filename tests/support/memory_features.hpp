// A layer whose features stand in memory: what reads layers is tried on it without a file.
#pragma once

#include <bit>
#include <cstdint>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/source/feature_source.hpp"

namespace eaveshed::testing {

// Well-known binary, little-endian.
class Wkb {
public:
    static std::vector<unsigned char> point(Point place) { return Wkb(1).add(place).m_bytes; }
    static std::vector<unsigned char> line(const Line& points) { return Wkb(2).add(points).m_bytes; }
    static std::vector<unsigned char> polygon(const Ring& outer) { return Wkb(3).add(1U).add(outer).m_bytes; }
    // A square by its south-western corner.
    static std::vector<unsigned char> square(Point corner, double side) {
        const auto [x, y] = corner;
        return polygon({{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}, {x, y}});
    }

private:
    explicit Wkb(std::uint32_t type) : m_bytes{1} { add(type); }
    Wkb& add(std::uint32_t number) {
        for (unsigned shift = 0; shift < 32; shift += 8) {
            m_bytes.push_back(static_cast<unsigned char>(number >> shift));
        }
        return *this;
    }
    Wkb& add(double number) {
        const auto bits = std::bit_cast<std::uint64_t>(number);
        return add(static_cast<std::uint32_t>(bits)).add(static_cast<std::uint32_t>(bits >> 32U));
    }
    Wkb& add(Point place) { return add(place.x).add(place.y); }
    Wkb& add(const std::vector<Point>& points) {
        add(static_cast<std::uint32_t>(points.size()));
        for (const Point& place : points) {
            add(place);
        }
        return *this;
    }
    std::vector<unsigned char> m_bytes;
};

struct MemoryRow {
    std::vector<unsigned char> wkb;
    std::vector<std::optional<std::string>> values = {};  // of the layer's fields, in their order
};

class MemoryFeatures final : public FeatureSource {
public:
    // `name` stands for path and layer.
    MemoryFeatures(const std::string& name, Crs crs, std::vector<std::string> fields, std::vector<MemoryRow> rows)
        : m_rows(std::move(rows)) {
        m_info.where = name;
        m_info.layer = name;
        m_info.crs = std::move(crs);
        m_info.fields = std::move(fields);
        m_info.feature_count = static_cast<std::int64_t>(m_rows.size());
    }

    [[nodiscard]] const VectorInfo& info() const override { return m_info; }
    void begin(const std::vector<std::string>& fields) override {
        ++m_readings;
        m_next = 0;
        m_wanted = fields;
    }
    bool next(Feature& feature) override {
        if (m_next == m_rows.size()) {
            return false;
        }
        const MemoryRow& row = m_rows[m_next++];
        feature.fid = static_cast<std::int64_t>(m_next);
        feature.wkb = row.wkb;
        feature.text_replaced = false;
        feature.values.clear();
        for (const std::string& name : m_wanted) {
            feature.values.push_back(value(row, name));
        }
        return true;
    }
    // How often it was read from the first feature on.
    [[nodiscard]] int readings() const { return m_readings; }

private:
    [[nodiscard]] std::optional<std::string> value(const MemoryRow& row, const std::string& name) const {
        for (std::size_t i = 0; i < m_info.fields.size() && i < row.values.size(); ++i) {
            if (m_info.fields[i] == name) {
                return row.values[i];
            }
        }
        EXPECT_TRUE(name.empty()) << m_info.where << " has no field " << name;
        return std::nullopt;
    }

    VectorInfo m_info;
    std::vector<MemoryRow> m_rows;
    std::vector<std::string> m_wanted;
    std::size_t m_next = 0;
    int m_readings = 0;
};

}  // namespace eaveshed::testing
