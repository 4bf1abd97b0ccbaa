#include "eaveshed/network/address.hpp"

#include <algorithm>
#include <map>
#include <memory>
#include <mutex>
#include <set>

#include <curl/curl.h>
#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/words/wording.hpp"
#include "requests.hpp"

namespace eaveshed {

namespace {

struct Known {
    std::mutex mutex;
    std::set<std::string> hosts;
    std::map<std::string, std::string> full;  // by the address as shown
};

Known& known() {
    static auto* const one = new Known;  // never destroyed: threads of libraries may outlive statics
    return *one;
}

using Url = std::unique_ptr<CURLU, decltype(&curl_url_cleanup)>;

// Empty where the address has no such part.
std::string part_of(CURLU* url, CURLUPart part) {
    char* text = nullptr;
    if (curl_url_get(url, part, &text, 0) != CURLUE_OK || text == nullptr) {
        return {};
    }
    std::string copy(text);
    curl_free(text);
    return copy;
}

Address taken_apart(const std::string& where, const std::string& text) {
    const Url url(curl_url(), &curl_url_cleanup);
    const CURLUcode code = curl_url_set(url.get(), CURLUPART_URL, text.c_str(), 0);
    if (code != CURLUE_OK) {
        throw input_error(where, fmt::format("an address that cannot be one: {}", curl_url_strerror(code)),
                          "https://HOST/PATH", "correct it; a space is written %20");
    }
    curl_url_set(url.get(), CURLUPART_FRAGMENT, nullptr, 0);
    Address address;
    address.host = lower_case(part_of(url.get(), CURLUPART_HOST));
    address.full = part_of(url.get(), CURLUPART_URL);
    for (const CURLUPart part : {CURLUPART_USER, CURLUPART_PASSWORD, CURLUPART_OPTIONS, CURLUPART_QUERY}) {
        curl_url_set(url.get(), part, nullptr, 0);
    }
    address.shown = part_of(url.get(), CURLUPART_URL);
    return address;
}

// The words before a '?', a '@' or the like: what a message may show of an address that is none.
std::string without_secrets(const std::string& text) {
    const std::string head = text.substr(0, text.find_first_of("?#"));
    const std::size_t at = head.rfind('@');
    return at == std::string::npos ? head : "..." + head.substr(at);
}

}  // namespace

bool is_address(std::string_view path) {
    const auto begins = [path](std::string_view scheme) { return lower_case(path.substr(0, scheme.size())) == scheme; };
    return begins("http://") || begins("https://");
}

Address address_of(const std::string& where, const std::string& text) {
    if (!is_address(text)) {
        internal_error("an address that is none");
    }
    return taken_apart(where, text);
}

std::string keep_address(const std::string& where, const std::string& text) {
    const std::string named = fmt::format("{} \"{}\"", where, printable(without_secrets(text)));
    const Address address = address_of(named, text);
    const std::scoped_lock lock(known().mutex);
    const auto [entry, fresh] = known().full.try_emplace(address.shown, address.full);
    if (!fresh && entry->second != address.full && entry->second != entry->first && address.full != address.shown) {
        throw input_error(named, "two addresses that differ in their query or user alone",
                          "one path for each input: records hold no query and no user",
                          "name a path of its own for each, or give both the same query");
    }
    if (!fresh && entry->second == entry->first) {
        entry->second = address.full;
    }
    return address.shown;
}

Address kept_address(const std::string& where, const std::string& shown) {
    Address address = address_of(where, shown);
    const std::scoped_lock lock(known().mutex);
    const auto found = known().full.find(address.shown);
    if (found != known().full.end()) {
        address.full = found->second;
    }
    return address;
}

void allow_host(const std::string& host) {
    const std::string lower = lower_case(host);
    const std::string url = "http://" + lower + "/";
    const Url parsed(curl_url(), &curl_url_cleanup);
    const bool sound = curl_url_set(parsed.get(), CURLUPART_URL, url.c_str(), 0) == CURLUE_OK &&
                       part_of(parsed.get(), CURLUPART_HOST) == lower;
    if (!sound) {
        throw input_error("--allow-network " + printable(host), "something that is no host",
                          "the name of a host, such as data.example.org",
                          "leave out https://, port and path: it holds for any port of the host");
    }
    const std::scoped_lock lock(known().mutex);
    known().hosts.insert(lower);
}

void require_allowed(const std::string& where, const Address& address) {
    const std::scoped_lock lock(known().mutex);
    if (!known().hosts.contains(address.host)) {
        throw input_error(where,
                          known().hosts.empty() ? "an address in the network, which is off"
                                                : "an address of a host that was not named",
                          "a file on this machine, or a host that may be reached",
                          fmt::format("give --allow-network {}, or download the file first", printable(address.host)));
    }
}

void forget_network() {
    {
        const std::scoped_lock lock(known().mutex);
        known().hosts.clear();
        known().full.clear();
    }
    forget_remote_files();
    forget_request_counts();
}

}  // namespace eaveshed
