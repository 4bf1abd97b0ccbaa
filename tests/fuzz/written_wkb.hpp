// Well-known binary written for what was read, to be read again.
#pragma once

#include <cstdint>
#include <cstring>
#include <vector>

#include "eaveshed/shape/polygon.hpp"

namespace eaveshed::fuzz {

class WkbBytes {
public:
    WkbBytes& head(std::uint32_t code) {
        m_bytes.push_back(1);
        return put(code);
    }
    template <typename Number>
    WkbBytes& put(Number number) {
        const auto* const begin = reinterpret_cast<const unsigned char*>(&number);
        m_bytes.insert(m_bytes.end(), begin, begin + sizeof number);
        return *this;
    }
    WkbBytes& put(const std::vector<Point>& points) {
        put(static_cast<std::uint32_t>(points.size()));
        for (const Point& point : points) {
            put(point.x).put(point.y);
        }
        return *this;
    }
    [[nodiscard]] const std::vector<unsigned char>& bytes() const { return m_bytes; }

private:
    std::vector<unsigned char> m_bytes;
};

inline std::vector<unsigned char> wkb_of(const MultiPolygon& outline) {
    constexpr std::uint32_t kPolygon = 3;
    constexpr std::uint32_t kMultiPolygon = 6;
    WkbBytes out;
    out.head(kMultiPolygon).put(static_cast<std::uint32_t>(outline.parts.size()));
    for (const Polygon& part : outline.parts) {
        out.head(kPolygon).put(static_cast<std::uint32_t>(1 + part.holes.size())).put(part.outer);
        for (const Ring& hole : part.holes) {
            out.put(hole);
        }
    }
    return out.bytes();
}

inline std::vector<unsigned char> wkb_of(const Line& line) {
    constexpr std::uint32_t kLineString = 2;
    return WkbBytes().head(kLineString).put(line).bytes();
}

}  // namespace eaveshed::fuzz
