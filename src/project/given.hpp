// What a project file gives, and where: for messages. Private to the module.
#pragma once

#include <algorithm>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <fmt/format.h>

namespace eaveshed {

// Line and column, both from 1.
struct Place {
    unsigned line = 0;
    unsigned column = 0;
};

// Keys are "section.key", in repeated sections "section.N.key" with N from 1.
class Given {
public:
    explicit Given(std::string path) : m_path(std::move(path)) {}

    void add(const std::string& key, Place place) { m_places.emplace(key, place); }
    [[nodiscard]] bool has(const std::string& key) const { return m_places.contains(key); }

    // "basin.toml:12:1", and with a key "basin.toml:12:1: siting.max_fill_m"; without line where there are none.
    [[nodiscard]] std::string where(Place place, std::string_view key = {}) const {
        if (place.line == 0) {
            return fmt::format("{}{}{}", m_path, key.empty() ? "" : ": ", key);
        }
        return fmt::format("{}:{}:{}{}{}", m_path, place.line, place.column, key.empty() ? "" : ": ", key);
    }
    // Of a key that may or may not be given.
    [[nodiscard]] std::string where(const std::string& key) const {
        const auto found = m_places.find(key);
        return found == m_places.end() ? fmt::format("{}: {}", m_path, key) : where(found->second, key);
    }

private:
    std::string m_path;
    std::map<std::string, Place> m_places;
};

}  // namespace eaveshed
