#include "eaveshed/geometry/wkb.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <utility>

namespace eaveshed {

namespace {

// Geometry codes of ISO/IEC 13249-3 and OGC 06-103r4, 8.2.
constexpr std::uint32_t kPoint = 1;
constexpr std::uint32_t kLineString = 2;
constexpr std::uint32_t kPolygon = 3;
constexpr std::uint32_t kMultiPoint = 4;
constexpr std::uint32_t kMultiLineString = 5;
constexpr std::uint32_t kMultiPolygon = 6;
constexpr std::uint32_t kCollection = 7;
constexpr std::uint32_t kCircularString = 8;
constexpr std::uint32_t kCompoundCurve = 9;
constexpr std::uint32_t kCurvePolygon = 10;
constexpr std::uint32_t kMultiCurve = 11;
constexpr std::uint32_t kMultiSurface = 12;
constexpr std::uint32_t kPolyhedralSurface = 15;
constexpr std::uint32_t kTin = 16;
constexpr std::uint32_t kTriangle = 17;

constexpr std::uint32_t kOldZ = 0x80000000U;  // bits of the older, extended form
constexpr std::uint32_t kOldM = 0x40000000U;
constexpr std::uint32_t kOldSrid = 0x20000000U;

constexpr int kDeepest = 32;
constexpr std::size_t kRingPoints = 4;  // the fewest that bound an area, first point repeated

bool finite_point(Point point) {
    return std::isfinite(point.x) && std::isfinite(point.y);
}

// Reads on while the bytes last; after the first lack everything is zero and `failed` says so.
class Reader {
public:
    explicit Reader(std::span<const unsigned char> bytes) : m_rest(bytes) {}

    struct Head {
        std::uint32_t code = 0;
        std::size_t dimensions = 2;
    };

    [[nodiscard]] bool failed() const { return m_failed; }
    void fail() { m_failed = true; }

    Head head() {
        const unsigned char order = byte();
        m_swap = (order == 0) != (std::endian::native == std::endian::big);
        m_failed = m_failed || order > 1;
        auto word = number<std::uint32_t>();
        std::size_t dimensions = 2;
        dimensions += (word & kOldZ) != 0 ? 1U : 0U;
        dimensions += (word & kOldM) != 0 ? 1U : 0U;
        if ((word & kOldSrid) != 0) {
            static_cast<void>(number<std::uint32_t>());
        }
        word &= ~(kOldZ | kOldM | kOldSrid);
        const std::uint32_t thousands = word / 1000;  // ISO: 1000 Z, 2000 M, 3000 ZM
        if (thousands > 0) {
            dimensions = thousands == 3 ? 4U : 3U;
        }
        m_failed = m_failed || thousands > 3;
        return {word % 1000, dimensions};
    }

    // A count of things that take at least `least_bytes` each: no more than the rest can hold.
    std::size_t count(std::size_t least_bytes) {
        const std::size_t n = number<std::uint32_t>();
        if (n > m_rest.size() / least_bytes) {
            m_failed = true;
        }
        return m_failed ? 0 : n;
    }

    Point point(std::size_t dimensions) {
        Point read;
        read.x = number<double>();
        read.y = number<double>();
        skip((dimensions - 2) * sizeof(double));
        return read;
    }

    std::vector<Point> points(std::size_t dimensions) {
        const std::size_t n = count(dimensions * sizeof(double));
        std::vector<Point> read(n);
        for (Point& at : read) {
            at = point(dimensions);
        }
        return read;
    }

private:
    unsigned char byte() {
        if (m_rest.empty()) {
            m_failed = true;
            return 0;
        }
        const unsigned char first = m_rest.front();
        m_rest = m_rest.subspan(1);
        return first;
    }

    template <typename T>
    T number() {
        T value{};
        if (m_rest.size() < sizeof(T)) {
            m_failed = true;
            return value;
        }
        std::array<unsigned char, sizeof(T)> bytes;
        std::memcpy(bytes.data(), m_rest.data(), sizeof(T));
        if (m_swap) {
            std::reverse(bytes.begin(), bytes.end());
        }
        std::memcpy(&value, bytes.data(), sizeof(T));
        m_rest = m_rest.subspan(sizeof(T));
        return value;
    }

    void skip(std::size_t bytes) {
        if (m_rest.size() < bytes) {
            m_failed = true;
            return;
        }
        m_rest = m_rest.subspan(bytes);
    }

    std::span<const unsigned char> m_rest;
    bool m_swap = false;
    bool m_failed = false;
};

constexpr std::size_t kLeastGeometryBytes = 5;  // byte order and code
constexpr std::size_t kLeastRingBytes = 4;      // its count

void mend(Ring& ring, bool& mended) {
    if (!ring.empty() && ring.front() != ring.back() && finite_point(ring.front()) && finite_point(ring.back())) {
        ring.push_back(ring.front());
        mended = true;
    }
}

void read_polygon(Reader& reader, std::size_t dimensions, WkbPolygons& into) {
    const std::size_t rings = reader.count(kLeastRingBytes);
    Polygon part;
    for (std::size_t i = 0; i < rings && !reader.failed(); ++i) {
        Ring ring = reader.points(dimensions);
        const bool given = !ring.empty();
        mend(ring, into.mended);
        if (given && ring.size() < kRingPoints) {
            ring.clear();
            into.mended = true;
        }
        if (i == 0) {
            part.outer = std::move(ring);
        } else if (!ring.empty()) {
            part.holes.push_back(std::move(ring));
        }
    }
    if (!part.outer.empty()) {
        into.outline.parts.push_back(std::move(part));
    }
}

// What is found in a geometry and all below it.
struct Parts {
    WkbPolygons polygons;
    std::vector<Line> lines;
    std::vector<Point> points;
};

// Reads one geometry and all below it; keeps its parts unless they are those of a curve or a surface in space.
void read_geometry(Reader& reader, int depth, bool keep, Parts& into) {
    const Reader::Head head = reader.head();
    if (reader.failed()) {
        return;
    }
    Parts unkept;
    Parts& kept = keep ? into : unkept;
    switch (head.code) {
        case kPoint: kept.points.push_back(reader.point(head.dimensions)); return;
        case kLineString: kept.lines.push_back(reader.points(head.dimensions)); return;
        case kCircularString: static_cast<void>(reader.points(head.dimensions)); return;
        case kPolygon: read_polygon(reader, head.dimensions, kept.polygons); return;
        case kTriangle: read_polygon(reader, head.dimensions, unkept.polygons); return;
        case kMultiPoint:
        case kMultiLineString:
        case kMultiPolygon:
        case kCollection: break;
        case kCompoundCurve:
        case kCurvePolygon:
        case kMultiCurve:
        case kMultiSurface:
        case kPolyhedralSurface:
        case kTin: keep = false; break;
        default: reader.fail(); return;
    }
    const std::size_t parts = reader.count(kLeastGeometryBytes);
    if (depth >= kDeepest) {
        reader.fail();
    }
    for (std::size_t i = 0; i < parts && !reader.failed(); ++i) {
        read_geometry(reader, depth + 1, keep, into);
    }
}

// None for bytes that are no WKB.
std::optional<Parts> parts_of(std::span<const unsigned char> wkb) {
    Reader reader(wkb);
    Parts found;
    read_geometry(reader, 0, true, found);
    if (reader.failed()) {
        return std::nullopt;
    }
    return found;
}

// OGC 12-128r17, table 5: what the first bytes of a GeoPackage's geometry are.
constexpr std::size_t kHeaderBytes = 8;
constexpr std::size_t kFlagsAt = 3;
constexpr unsigned kEmptyBit = 0x10U;
constexpr std::array<std::size_t, 5> kEnvelopeBytes{0, 32, 48, 48, 64};  // none, xy, xyz, xym, xyzm

}  // namespace

std::optional<std::span<const unsigned char>> geopackage_wkb(std::span<const unsigned char> bytes) {
    if (bytes.size() < kHeaderBytes || bytes[0] != 'G' || bytes[1] != 'P' || bytes[2] != 0) {
        return std::nullopt;
    }
    const unsigned flags = bytes[kFlagsAt];
    const std::size_t envelope = (flags >> 1U) & 7U;
    if ((flags & kEmptyBit) != 0 || envelope >= kEnvelopeBytes.size() ||
        bytes.size() < kHeaderBytes + kEnvelopeBytes.at(envelope)) {
        return std::nullopt;
    }
    return bytes.subspan(kHeaderBytes + kEnvelopeBytes.at(envelope));
}

std::optional<WkbPolygons> wkb_polygons(std::span<const unsigned char> wkb) {
    auto found = parts_of(wkb);
    return found ? std::optional(std::move(found->polygons)) : std::nullopt;
}

std::vector<Line> wkb_lines(std::span<const unsigned char> wkb) {
    auto found = parts_of(wkb);
    if (!found) {
        return {};
    }
    std::erase_if(found->lines, [](const Line& line) {
        return line.size() < 2 || !std::all_of(line.begin(), line.end(), finite_point);
    });
    return std::move(found->lines);
}

std::vector<Point> wkb_points(std::span<const unsigned char> wkb) {
    auto found = parts_of(wkb);
    if (!found) {
        return {};
    }
    std::erase_if(found->points, [](Point point) { return !finite_point(point); });
    return std::move(found->points);
}

std::optional<Point> wkb_point(std::span<const unsigned char> wkb) {
    const std::vector<Point> points = wkb_points(wkb);
    return points.empty() ? std::nullopt : std::optional(points.front());
}

}  // namespace eaveshed
