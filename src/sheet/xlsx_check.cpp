#include "xlsx_check.hpp"

#include <fmt/format.h>
#include <zlib.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdint>
#include <map>
#include <optional>
#include <stdexcept>
#include <string_view>
#include <vector>

namespace eaveshed {

namespace {

using Parts = std::map<std::string, std::string>;  // of the archive, unpacked, by name

std::uint32_t number_at(std::string_view bytes, std::size_t at, std::size_t size) {
    std::uint32_t number = 0;
    for (std::size_t i = 0; i < size; ++i) {
        number |= static_cast<std::uint32_t>(static_cast<unsigned char>(bytes.at(at + i))) << (8 * i);
    }
    return number;
}

std::optional<std::string> inflated(std::string_view packed, std::size_t size) {
    std::string out(size, '\0');
    z_stream stream{};
    if (inflateInit2(&stream, -MAX_WBITS) != Z_OK) {
        return std::nullopt;
    }
    std::string in(packed);
    stream.next_in = reinterpret_cast<Bytef*>(in.data());
    stream.avail_in = static_cast<uInt>(in.size());
    stream.next_out = reinterpret_cast<Bytef*>(out.data());
    stream.avail_out = static_cast<uInt>(out.size());
    const int done = inflate(&stream, Z_FINISH);
    const bool whole = done == Z_STREAM_END && stream.avail_out == 0;
    inflateEnd(&stream);
    return whole ? std::optional(out) : std::nullopt;
}

// By the directory at the end (APPNOTE.TXT of PKWARE, 4.3.7, 4.3.12 and 4.3.16); none where anything does not fit.
std::optional<Parts> unpacked(std::string_view bytes) {
    constexpr std::size_t kEnd = 22;
    if (bytes.size() < kEnd || number_at(bytes, bytes.size() - kEnd, 4) != 0x06054b50U) {
        return std::nullopt;
    }
    Parts parts;
    std::size_t at = number_at(bytes, bytes.size() - kEnd + 16, 4);
    const std::uint32_t count = number_at(bytes, bytes.size() - kEnd + 10, 2);
    for (std::uint32_t i = 0; i < count; ++i) {
        if (number_at(bytes, at, 4) != 0x02014b50U) {
            return std::nullopt;
        }
        const std::uint32_t crc = number_at(bytes, at + 16, 4);
        const std::uint32_t packed = number_at(bytes, at + 20, 4);
        const std::uint32_t size = number_at(bytes, at + 24, 4);
        const std::uint32_t name_size = number_at(bytes, at + 28, 2);
        const std::string name(bytes.substr(at + 46, name_size));
        const std::size_t local = number_at(bytes, at + 42, 4);
        const std::size_t begin = local + 30 + number_at(bytes, local + 26, 2) + number_at(bytes, local + 28, 2);
        const std::string_view data = bytes.substr(begin, packed);
        const bool stored = number_at(bytes, at + 10, 2) == 0;
        const std::optional<std::string> part = stored ? std::string(data) : inflated(data, size);
        if (!part || part->size() != size ||
            crc32(0, reinterpret_cast<const Bytef*>(part->data()), static_cast<uInt>(size)) != crc) {
            return std::nullopt;
        }
        parts[name] = *part;
        at += 46 + name_size + number_at(bytes, at + 30, 2) + number_at(bytes, at + 32, 2);
    }
    return parts;
}

// <name ...> ... </name>, or <name .../>.
bool ends_as_it_begins(std::string_view xml) {
    std::size_t open = xml.find('<');
    while (open != std::string_view::npos && xml.substr(open, 2) == "<?") {
        open = xml.find('<', open + 1);
    }
    if (open == std::string_view::npos) {
        return false;
    }
    const std::string_view name = xml.substr(open + 1, xml.find_first_of(" >/", open) - open - 1);
    while (!xml.empty() && (xml.back() == '\n' || xml.back() == '\r')) {
        xml.remove_suffix(1);
    }
    const std::string closing = fmt::format("</{}>", name);
    return xml.ends_with(closing) || (xml.ends_with("/>") && xml.find('<', open + 1) == std::string_view::npos);
}

// What stands between `left` and `right`, from `at` on, which moves behind it; none where there is no more.
std::optional<std::string_view> between(std::string_view text, std::string_view left, std::string_view right,
                                        std::size_t& at) {
    const std::size_t begin = text.find(left, at);
    const std::size_t end = begin == std::string_view::npos ? begin : text.find(right, begin + left.size());
    if (end == std::string_view::npos) {
        return std::nullopt;
    }
    at = end + right.size();
    return text.substr(begin + left.size(), end - begin - left.size());
}

std::string without_escapes(std::string_view xml) {
    constexpr std::array<std::pair<std::string_view, char>, 4> kEscapes{
        {{"&lt;", '<'}, {"&gt;", '>'}, {"&quot;", '"'}, {"&amp;", '&'}}};
    std::string out;
    while (!xml.empty()) {
        std::size_t used = 1;
        char letter = xml.front();
        for (const auto& [escape, meant] : kEscapes) {
            if (xml.starts_with(escape)) {
                used = escape.size();
                letter = meant;
            }
        }
        out += letter;
        xml.remove_prefix(used);
    }
    return out;
}

std::vector<std::string> shared_texts(std::string_view xml) {
    std::vector<std::string> texts;
    std::size_t at = 0;
    while (const auto item = between(xml, "<si>", "</si>", at)) {
        std::size_t begin = item->find('>');
        const std::size_t end = item->rfind("</t>");
        begin = begin == std::string_view::npos ? 0 : begin + 1;
        texts.push_back(end == std::string_view::npos || end < begin
                            ? std::string()
                            : without_escapes(item->substr(begin, end - begin)));
    }
    return texts;
}

std::string column_letters(std::size_t column) {
    std::string letters;
    for (std::size_t rest = column + 1; rest > 0; rest = (rest - 1) / 26) {
        letters.insert(letters.begin(), static_cast<char>('A' + (rest - 1) % 26));
    }
    return letters;
}

// Goes through the cells of a sheet in their order.
class Cells {
public:
    Cells(std::string_view sheet, std::vector<std::string> texts) : m_sheet(sheet), m_texts(std::move(texts)) {}

    // Whether the next cell is this one with this value. A number is written with 16 digits. A text with characters
    // that XML has no place for, which the library spells in its own way, counts as alike.
    bool next_is(std::size_t row, std::size_t column, const Value& value, std::string (*text_of)(const std::string&)) {
        const auto cell = between(m_sheet, "<c r=\"", "</c>", m_at);
        const std::string place = column_letters(column) + std::to_string(row + 1) + '"';
        if (!cell || !cell->starts_with(place)) {
            return false;
        }
        std::size_t at = 0;
        const std::string found(between(*cell, "<v>", "</v>", at).value_or(""));
        const bool shared = cell->find(" t=\"s\"") != std::string_view::npos;
        if (const auto* const text = std::get_if<std::string>(&value)) {
            std::size_t number = m_texts.size();
            const auto read = std::from_chars(found.data(), found.data() + found.size(), number);
            return shared && read.ec == std::errc() && number < m_texts.size() &&
                   alike(m_texts[number], text_of(*text));
        }
        const auto* const whole = std::get_if<std::int64_t>(&value);
        const double number = whole != nullptr ? static_cast<double>(*whole) : std::get<double>(value);
        return !shared && found == fmt::format("{:.16G}", number);
    }
    bool over() { return !between(m_sheet, "<c r=\"", "</c>", m_at); }

private:
    static bool alike(const std::string& found, const std::string& meant) {
        const auto is_control = [](char letter) { return static_cast<unsigned char>(letter) < 0x20; };
        return found == meant || std::any_of(meant.begin(), meant.end(), is_control) ||
               meant.find("_x") != std::string::npos || meant.find("\xEF\xBF") != std::string::npos;
    }
    std::string_view m_sheet;
    std::vector<std::string> m_texts;
    std::size_t m_at = 0;
};

}  // namespace

std::string amiss_in_xlsx(const std::string& bytes, const Sheet& table, std::string (*text_of)(const std::string&)) {
    std::optional<Parts> parts;
    try {
        parts = unpacked(bytes);
    } catch (const std::out_of_range&) {
        parts.reset();
    }
    if (!parts) {
        return "an archive that is not whole";
    }
    for (const auto& [name, xml] : *parts) {
        if (!ends_as_it_begins(xml)) {
            return "a part that is not whole: " + name;
        }
    }
    Cells cells((*parts)["xl/worksheets/sheet1.xml"], shared_texts((*parts)["xl/sharedStrings.xml"]));
    for (std::size_t row = 0; row <= table.rows.size(); ++row) {
        for (std::size_t column = 0; column < table.columns.size(); ++column) {
            const Value value = row == 0 ? Value(table.columns[column].title) : table.rows[row - 1].at(column);
            const auto* const text = std::get_if<std::string>(&value);
            const bool bare = std::holds_alternative<std::monostate>(value) || (text != nullptr && text->empty());
            if (!bare && !cells.next_is(row, column, value, text_of)) {
                return fmt::format("another cell {}{} than was written", column_letters(column), row + 1);
            }
        }
    }
    return cells.over() ? "" : "more cells than were written";
}

}  // namespace eaveshed
