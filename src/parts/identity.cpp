#include "eaveshed/parts/identity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <span>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/fingerprint.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kInput = "input.";
constexpr std::string_view kSetting = "setting.";

bool tells_the_job(std::string_view key) {
    return key.starts_with("program.") || key.starts_with("library.") || key.starts_with(kSetting) ||
           key.starts_with(kInput);
}

using KeyValues = std::map<std::string, std::string>;

KeyValues by_key(const Identity& identity) {
    KeyValues values;
    for (const RunRecordRow& row : identity) {
        std::string value = row.value;
        replace_invalid_utf8(value);  // as a kept one was written
        values.emplace(row.key, std::move(value));
    }
    return values;
}

// "input.003" of "input.003.sha256".
std::string number_of(const std::string& key) {
    return key.substr(0, key.rfind('.'));
}

// A setting without its prefix; an input by the setting and the path that its rows tell.
std::string name_of_key(const std::string& key, const KeyValues& now, const KeyValues& then) {
    if (key.starts_with(kSetting)) {
        return key.substr(kSetting.size());
    }
    if (!key.starts_with(kInput)) {
        return key;
    }
    const KeyValues& known = now.contains(key) ? now : then;
    const auto of_input = [&](const char* what) {
        const auto found = known.find(number_of(key) + what);
        return found == known.end() ? std::string() : found->second;
    };
    return fmt::format("input {} {}, {}", of_input(".setting"), of_input(".path"), key.substr(key.rfind('.') + 1));
}

std::string shown(const KeyValues& values, const std::string& key) {
    constexpr std::size_t kMost = 60;
    const auto found = values.find(key);
    if (found == values.end()) {
        return "absent";
    }
    return found->second.empty() ? "not given" : printable(found->second, kMost);
}

}  // namespace

std::string fingerprint_of(const Identity& identity) {
    std::string text;
    for (const RunRecordRow& row : identity) {
        std::string value = row.value;
        replace_invalid_utf8(value);
        text += row.key + '=' + value + '\n';
    }
    return sha256_hex(std::span(reinterpret_cast<const unsigned char*>(text.data()), text.size()));
}

std::vector<std::pair<std::string, std::string>> settings_in(const Identity& identity) {
    std::vector<std::pair<std::string, std::string>> rows;
    for (const RunRecordRow& row : identity) {
        if (row.key.starts_with(kSetting)) {
            rows.emplace_back(row.key.substr(kSetting.size()), row.value);
        }
    }
    return rows;
}

Identity with_digests_of(const Identity& then, Identity now) {
    const KeyValues known = by_key(then);
    for (RunRecordRow& row : now) {
        const auto found = known.find(row.key);
        if (row.key.starts_with(kInput) && row.key.ends_with(".sha256") && row.value.empty() && found != known.end()) {
            row.value = found->second;
        }
    }
    return now;
}

Identity identity_in(const std::vector<std::pair<std::string, std::string>>& record) {
    Identity identity;
    for (const auto& [key, value] : record) {
        if (tells_the_job(key)) {
            identity.push_back({key, value});
        }
    }
    return identity;
}

std::vector<std::string> differences(const Identity& then, const Identity& now) {
    const KeyValues before = by_key(then);
    const KeyValues after = by_key(now);
    std::vector<std::string> found;
    const auto look_at = [&](const std::string& key) {
        if (shown(before, key) != shown(after, key) || before.count(key) != after.count(key) ||
            before.find(key)->second != after.find(key)->second) {
            found.push_back(fmt::format("{}: {} then, {} now", printable(name_of_key(key, after, before)),
                                        shown(before, key), shown(after, key)));
        }
    };
    for (const RunRecordRow& row : now) {
        look_at(row.key);
    }
    for (const RunRecordRow& row : then) {
        if (!after.contains(row.key)) {
            look_at(row.key);
        }
    }
    return found;
}

void require_same(const Identity& then, const Identity& now, const std::string& where, const std::string& remedy) {
    constexpr std::size_t kShown = 6;
    const std::vector<std::string> found = differences(then, now);
    if (found.empty()) {
        return;
    }
    const std::vector<std::string> first(found.begin(),
                                         found.begin() + static_cast<std::ptrdiff_t>(std::min(found.size(), kShown)));
    throw input_error(where,
                      fmt::format("another job: {}{}", fmt::join(first, "; "),
                                  found.size() > kShown ? fmt::format("; and {} more", found.size() - kShown) : ""),
                      "the same program, settings and inputs", remedy);
}

}  // namespace eaveshed
