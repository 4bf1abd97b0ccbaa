// Ids of a layer's features, made to stand once each. Private to the module.
#pragma once

#include <fmt/format.h>

#include <cstdint>
#include <string>
#include <unordered_map>
#include <vector>

namespace eaveshed {

class OwnIds {
public:
    // The id itself the first time, then with a number behind it.
    [[nodiscard]] std::string of(std::string id) {
        std::uint32_t seen = ++m_seen[id];
        if (seen > 1) {
            for (; seen > 1; seen = ++m_seen[id]) {
                id += fmt::format("/{}", seen);
            }
            m_numbered.push_back(id);
        }
        return id;
    }
    // Those that were given a number, as they came to be.
    [[nodiscard]] const std::vector<std::string>& numbered() const { return m_numbered; }

private:
    std::unordered_map<std::string, std::uint32_t> m_seen;
    std::vector<std::string> m_numbered;
};

}  // namespace eaveshed
