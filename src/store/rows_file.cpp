#include "eaveshed/store/rows_file.hpp"

#include <algorithm>
#include <cstring>
#include <string>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/bytes.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/files/fingerprint.hpp"
#include "eaveshed/words/room.hpp"
#include "packed_rows.hpp"

namespace eaveshed {

namespace {

constexpr const char* kMagic = "eaveshed rows 7\n";
constexpr std::size_t kDigestChars = 64;  // of a tile's roofs, then its parcels

File::Mode mode_of(RowsFile::Begin begin) {
    return begin == RowsFile::Begin::anew ? File::Mode::create_new : File::Mode::update;
}

}  // namespace

// The file: what its rows belong to, a digest a tile, the roofs of all tiles, the parcels of all tiles.
struct RowsFile::Impl {
    // Where a tile's rows begin in the two regions.
    struct TilePlace {
        std::uint64_t first_roof = 0;
        std::uint64_t first_parcel = 0;
    };

    Impl(std::filesystem::path path_, File::Mode mode, SpoolFormat format_, RowsOf of_);

    [[nodiscard]] bool has_header() const;
    // Of what the file holds for the tile; its ordinals are taken where it is whole.
    bool take(std::size_t tile);
    void take_whole_ones();
    void begin_anew();
    void require_room() const;
    [[nodiscard]] std::size_t position(std::uint64_t tile) const;
    [[nodiscard]] std::uint64_t digest_place(std::size_t tile) const { return header.size() + tile * kDigestChars; }
    [[nodiscard]] std::uint64_t roofs_place(std::size_t tile) const {
        return roofs.begin + places[tile].first_roof * roofs.width;
    }
    [[nodiscard]] std::uint64_t parcels_place(std::size_t tile) const {
        return parcels.begin + places[tile].first_parcel * parcels.width;
    }
    void note_ordinals(std::size_t tile, std::span<const unsigned char> packed);

    std::filesystem::path path;
    File file;
    SpoolFormat format;
    RowsOf of;
    std::vector<unsigned char> header;
    std::vector<TilePlace> places;
    std::vector<std::uint8_t> held;  // by tile; a byte each, so that threads may set neighbours at once
    RowsRegion roofs;
    RowsRegion parcels;
    std::uint64_t size = 0;  // of the file when it is complete
};

RowsFile::Impl::Impl(std::filesystem::path path_, File::Mode mode, SpoolFormat format_, RowsOf of_)
    : path(std::move(path_)), file(path, mode), format(std::move(format_)), of(std::move(of_)), held(of.tiles.size()) {
    TilePlace next;
    for (const TileSize& tile : of.tiles) {
        places.push_back(next);
        next.first_roof += tile.roofs;
        next.first_parcel += tile.parcels;
    }
    roofs.width = packed_width(format);
    parcels.width = packed_parcel_width(format);
    ByteWriter out;
    out.put(std::string(kMagic));
    out.put(format.plan);
    out.put(static_cast<std::uint64_t>(roofs.width));
    out.put(static_cast<std::uint64_t>(parcels.width));
    out.put(of.first_tile);
    out.put(static_cast<std::uint64_t>(of.tiles.size()));
    out.put(next.first_roof);
    out.put(next.first_parcel);
    header = std::move(out.bytes());
    roofs.begin = header.size() + of.tiles.size() * kDigestChars;
    roofs.ordinals.resize(next.first_roof);
    parcels.begin = roofs.begin + next.first_roof * roofs.width;
    parcels.ordinals.resize(next.first_parcel);
    size = parcels.begin + next.first_parcel * parcels.width;
}

bool RowsFile::Impl::has_header() const {
    std::vector<unsigned char> found(header.size());
    return file.read_some(0, found) == found.size() && found == header;
}

// Told before hours of work and not after them. A file that has holes may take less than its size.
void RowsFile::Impl::require_room() const {
    const std::uint64_t held_bytes = file.size();
    const std::optional<std::uint64_t> free = free_bytes(path);
    if (free && size > held_bytes && *free < size - held_bytes) {
        throw Error(Fault::passing, {path.string(), "no room for the rows (" + room_text(path, size - held_bytes) + ")",
                                     "", "free some room there, then run again"});
    }
}

void RowsFile::Impl::begin_anew() {
    file.cut(0);
    file.write_at(0, header);
}

std::size_t RowsFile::Impl::position(std::uint64_t tile) const {
    if (tile < of.first_tile || tile - of.first_tile >= of.tiles.size()) {
        internal_error("a tile that does not belong into this file of rows");
    }
    return static_cast<std::size_t>(tile - of.first_tile);
}

void RowsFile::Impl::note_ordinals(std::size_t tile, std::span<const unsigned char> packed) {
    const auto note = [&](RowsRegion& region, std::uint64_t first, std::uint32_t count) {
        for (std::uint32_t i = 0; i < count; ++i, packed = packed.subspan(region.width)) {
            std::uint64_t ordinal = 0;
            std::memcpy(&ordinal, packed.data(), sizeof ordinal);
            region.ordinals[first + i] = static_cast<std::uint32_t>(ordinal);
        }
    };
    note(roofs, places[tile].first_roof, of.tiles[tile].roofs);
    note(parcels, places[tile].first_parcel, of.tiles[tile].parcels);
    held[tile] = 1;
}

bool RowsFile::Impl::take(std::size_t tile) {
    std::string digest(kDigestChars, '\0');
    const std::span<unsigned char> digest_bytes(reinterpret_cast<unsigned char*>(digest.data()), digest.size());
    if (file.read_some(digest_place(tile), digest_bytes) < kDigestChars || digest.front() == '\0') {
        return false;
    }
    const std::size_t of_roofs = of.tiles[tile].roofs * roofs.width;
    std::vector<unsigned char> packed(of_roofs + of.tiles[tile].parcels * parcels.width);
    const std::span<unsigned char> rows(packed);
    if (file.read_some(roofs_place(tile), rows.first(of_roofs)) < of_roofs ||
        file.read_some(parcels_place(tile), rows.subspan(of_roofs)) < rows.size() - of_roofs ||
        sha256_hex(packed) != digest) {
        return false;
    }
    note_ordinals(tile, packed);
    return true;
}

void RowsFile::Impl::take_whole_ones() {
    if (!has_header()) {
        begin_anew();
        return;
    }
    for (std::size_t tile = 0; tile < of.tiles.size(); ++tile) {
        take(tile);
    }
}

RowsFile::RowsFile(std::unique_ptr<Impl> impl) : m_impl(std::move(impl)) {}

RowsFile::RowsFile(const std::filesystem::path& path, const SpoolFormat& format, RowsOf of, Begin begin)
    : m_impl(std::make_unique<Impl>(path, mode_of(begin), format, std::move(of))) {
    begin == Begin::anew ? m_impl->begin_anew() : m_impl->take_whole_ones();
    m_impl->require_room();
}

RowsFile::~RowsFile() = default;
RowsFile::RowsFile(RowsFile&&) noexcept = default;
RowsFile& RowsFile::operator=(RowsFile&&) noexcept = default;

RowsFile RowsFile::finished(const std::filesystem::path& path, const SpoolFormat& format, RowsOf of) {
    RowsFile rows(std::make_unique<Impl>(path, File::Mode::read, format, std::move(of)));
    Impl& impl = *rows.m_impl;
    if (!impl.has_header()) {
        refuse(path, "rows of other inputs, settings or program, or of another part");
    }
    if (impl.file.size() != impl.size) {
        refuse(path, std::to_string(impl.file.size()) + " bytes where its rows take " + std::to_string(impl.size));
    }
    for (std::size_t tile = 0; tile < impl.of.tiles.size(); ++tile) {
        if (!impl.take(tile)) {
            refuse(path, "a checksum that does not fit the rows of tile " + std::to_string(tile + 1));
        }
    }
    return rows;
}

void RowsFile::write(std::uint64_t tile, const TileRows& rows) {
    Impl& self = *m_impl;
    const std::size_t at = self.position(tile);
    if (rows.roofs.size() != self.of.tiles[at].roofs || rows.parcels.size() != self.of.tiles[at].parcels) {
        internal_error("a tile with another number of rows than planned");
    }
    const std::size_t of_roofs = rows.roofs.size() * self.roofs.width;
    ByteWriter out(of_roofs + rows.parcels.size() * self.parcels.width);
    for (const RoofRows& roof : rows.roofs) {
        pack(roof, self.format, out);
    }
    for (const ParcelRows& parcel : rows.parcels) {
        pack(parcel, self.format, out);
    }
    const std::span<const unsigned char> packed(out.bytes());
    const std::string digest = sha256_hex(packed);
    self.file.write_at(self.roofs_place(at), packed.first(of_roofs));
    self.file.write_at(self.parcels_place(at), packed.subspan(of_roofs));
    // Last, and not synced: what a crash tears fails its checksum.
    self.file.write_at(self.digest_place(at), {reinterpret_cast<const unsigned char*>(digest.data()), digest.size()});
    self.note_ordinals(at, packed);
}

bool RowsFile::holds(std::uint64_t tile) const {
    return m_impl->held[m_impl->position(tile)] != 0;
}

bool RowsFile::complete() const {
    return tiles_held() == m_impl->held.size();
}

std::uint64_t RowsFile::tiles_held() const {
    return static_cast<std::uint64_t>(std::ranges::count(m_impl->held, 1));
}

void RowsFile::sync() {
    m_impl->file.sync();
}

const std::filesystem::path& RowsFile::path() const {
    return m_impl->path;
}

RowsRegion& RowsFile::roofs() {
    return m_impl->roofs;
}

RowsRegion& RowsFile::parcels() {
    return m_impl->parcels;
}

void RowsFile::read(std::uint64_t offset, std::span<unsigned char> bytes) const {
    m_impl->file.read_at(offset, bytes);
}

}  // namespace eaveshed
