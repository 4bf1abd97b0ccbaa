// Plain bytes for the program's own work files: little-endian, read back on the same kind of machine.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "eaveshed/core/closed_list.hpp"
#include "eaveshed/core/error.hpp"

namespace eaveshed {

class ByteWriter {
public:
    ByteWriter() = default;
    explicit ByteWriter(std::size_t bytes_to_come) { m_bytes.reserve(bytes_to_come); }

    template <typename T>
    requires std::is_arithmetic_v<T> || std::is_enum_v<T>
    void put(T value) {
        const auto* begin = reinterpret_cast<const unsigned char*>(&value);
        m_bytes.insert(m_bytes.end(), begin, begin + sizeof value);
    }
    void put(const std::string& text) {
        put(static_cast<std::uint64_t>(text.size()));
        m_bytes.insert(m_bytes.end(), text.begin(), text.end());
    }
    // Always the same width, whether there is a value or not.
    template <typename T>
    requires std::is_arithmetic_v<T> || std::is_enum_v<T>
    void put(const std::optional<T>& value) {
        const T held = value.value_or(T{});
        std::array<unsigned char, 1 + sizeof held> both{};
        both.front() = value.has_value() ? 1 : 0;
        std::memcpy(both.data() + 1, &held, sizeof held);
        m_bytes.insert(m_bytes.end(), both.begin(), both.end());
    }
    void put(const std::optional<std::string>& text) {
        put(static_cast<std::uint8_t>(text.has_value()));
        put(text.value_or(std::string()));
    }

    [[nodiscard]] std::vector<unsigned char>& bytes() { return m_bytes; }

private:
    std::vector<unsigned char> m_bytes;
};

// Reading past the end is a working error: the file was cut short. So is a value that its type does not have: neither
// true nor false, or beyond its closed list. `where` outlives the reader.
class ByteReader {
public:
    ByteReader(std::span<const unsigned char> bytes, std::string_view where)
        : m_bytes(bytes), m_where(where), m_total(bytes.size()) {}
    // `size` bytes that are fetched as they are needed.
    using Fetch = std::function<void(std::uint64_t offset, std::span<unsigned char> bytes)>;
    ByteReader(std::uint64_t size, Fetch fetch, std::string_view where)
        : m_where(where), m_total(size), m_fetch(std::move(fetch)) {}

    template <typename T>
    requires std::is_arithmetic_v<T> || std::is_enum_v<T>
    void get(T& value) {
        if constexpr (std::is_same_v<T, bool>) {
            value = truth();
        } else {
            std::memcpy(&value, take(sizeof value), sizeof value);
        }
        if constexpr (HasTerms<T>) {
            if (static_cast<std::size_t>(value) >= terms_of<T>().size()) {
                refuse("a word that is in no list");
            }
        }
    }
    void get(std::string& text) {
        std::uint64_t size = 0;
        get(size);
        const unsigned char* begin = take(size);
        text.assign(begin, begin + size);
    }
    template <typename T>
    requires std::is_arithmetic_v<T> || std::is_enum_v<T> || std::is_same_v<T, std::string>
    void get(std::optional<T>& value) {
        const bool present = truth();
        T read{};
        get(read);
        value = present ? std::optional<T>(std::move(read)) : std::nullopt;
    }
    template <typename T>
    [[nodiscard]] T get() {
        T value{};
        get(value);
        return value;
    }
    [[nodiscard]] std::uint64_t left() const { return m_total - m_begin - m_position; }

private:
    [[noreturn]] void refuse(const char* found) const {
        throw working_error(std::string(m_where), found, "", "run again; the work folder can be deleted");
    }
    bool truth() {
        const unsigned char byte = *take(1);
        if (byte > 1) {
            refuse("a damaged record");
        }
        return byte == 1;
    }
    const unsigned char* take(std::uint64_t size) {
        if (size > left()) {
            refuse("a work file that ends too early");
        }
        if (size > m_bytes.size() - m_position) {
            fetch(size);
        }
        const unsigned char* begin = m_bytes.data() + m_position;
        m_position += static_cast<std::size_t>(size);
        return begin;
    }
    // From the position on.
    void fetch(std::uint64_t least) {
        constexpr std::uint64_t kAtOnce = std::uint64_t{1} << 20U;
        m_begin += std::exchange(m_position, 0);
        m_fetched.resize(static_cast<std::size_t>(std::min(std::max(least, kAtOnce), m_total - m_begin)));
        m_fetch(m_begin, m_fetched);
        m_bytes = m_fetched;
    }
    std::span<const unsigned char> m_bytes;  // of all those from m_begin on
    std::string_view m_where;
    std::uint64_t m_total = 0;
    std::uint64_t m_begin = 0;
    std::size_t m_position = 0;  // in m_bytes
    Fetch m_fetch;
    std::vector<unsigned char> m_fetched;
};

}  // namespace eaveshed
