#include "eaveshed/package/geopackage_geometry.hpp"

#include "eaveshed/files/bytes.hpp"

namespace eaveshed {

namespace {

constexpr std::uint8_t kLittleEndian = 1;
constexpr std::uint8_t kWithEnvelope = 1U << 1U;  // xy envelope
constexpr std::uint32_t kWkbLineString = 2;
constexpr std::uint32_t kWkbPolygon = 3;
constexpr std::uint32_t kWkbMultiPolygon = 6;
constexpr std::uint32_t kWkbPointZ = 1001;  // ISO 13249-3
constexpr std::uint32_t kWkbLineStringZ = 1002;

void put_header(ByteWriter& out, std::uint8_t flags, std::int32_t srs_id) {
    out.put('G');
    out.put('P');
    out.put(std::uint8_t{0});
    out.put(flags);
    out.put(srs_id);
}

void put_header(ByteWriter& out, const Box& envelope, std::int32_t srs_id) {
    put_header(out, kLittleEndian | kWithEnvelope, srs_id);
    for (const double edge : {envelope.x_min, envelope.x_max, envelope.y_min, envelope.y_max}) {
        out.put(edge);
    }
}

void put_points(ByteWriter& out, const std::vector<Point>& points) {
    static_assert(sizeof(Point) == 2 * sizeof(double));
    out.put(static_cast<std::uint32_t>(points.size()));
    const auto* const begin = reinterpret_cast<const unsigned char*>(points.data());
    out.bytes().insert(out.bytes().end(), begin, begin + points.size() * sizeof(Point));
}

constexpr std::size_t kBytesOfShort = 104;  // enough for a point or a straight line, with its header

// Enough for an outline.
std::size_t bytes_of(const MultiPolygon& outline) {
    constexpr std::size_t kHead = 64;  // of the whole, and of each part
    std::size_t bytes = kHead;
    for (const Polygon& part : outline.parts) {
        bytes += kHead + part.outer.size() * sizeof(Point);
        for (const Ring& hole : part.holes) {
            bytes += sizeof(std::uint32_t) + hole.size() * sizeof(Point);
        }
    }
    return bytes;
}

}  // namespace

std::vector<unsigned char> geopackage_geometry(const MultiPolygon& outline, std::int32_t srs_id) {
    ByteWriter out(bytes_of(outline));
    put_header(out, bounds(outline), srs_id);
    out.put(kLittleEndian);
    out.put(kWkbMultiPolygon);
    out.put(static_cast<std::uint32_t>(outline.parts.size()));
    for (const Polygon& part : outline.parts) {
        out.put(kLittleEndian);
        out.put(kWkbPolygon);
        out.put(static_cast<std::uint32_t>(1 + part.holes.size()));
        put_points(out, part.outer);
        for (const Ring& hole : part.holes) {
            put_points(out, hole);
        }
    }
    return std::move(out.bytes());
}

std::vector<unsigned char> geopackage_geometry(Point place, double z, std::int32_t srs_id) {
    ByteWriter out(kBytesOfShort);
    put_header(out, kLittleEndian, srs_id);
    out.put(kLittleEndian);
    out.put(kWkbPointZ);
    out.put(place.x);
    out.put(place.y);
    out.put(z);
    return std::move(out.bytes());
}

std::vector<unsigned char> geopackage_geometry(const Segment& line, double z_from, double z_to, std::int32_t srs_id) {
    ByteWriter out(kBytesOfShort);
    put_header(out, bounds(line), srs_id);
    out.put(kLittleEndian);
    out.put(kWkbLineStringZ);
    out.put(std::uint32_t{2});
    for (const double number : {line.from.x, line.from.y, z_from, line.to.x, line.to.y, z_to}) {
        out.put(number);
    }
    return std::move(out.bytes());
}

std::vector<unsigned char> geopackage_geometry(const Line& line, std::int32_t srs_id) {
    ByteWriter out;
    put_header(out, bounds(line), srs_id);
    out.put(kLittleEndian);
    out.put(kWkbLineString);
    put_points(out, line);
    return std::move(out.bytes());
}

}  // namespace eaveshed
