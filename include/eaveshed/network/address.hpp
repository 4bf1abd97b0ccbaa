// Addresses of inputs in the network, and who may be asked for them. Nothing is reached unless its host was named: a
// program that reads what others hand it must not be led to places that its user never spoke of.
//
// What stands here is of the whole process, as the words that it was started with are. Safe from several threads.
#pragma once

#include <string>
#include <string_view>

namespace eaveshed {

// Whether a path is an address that may be read: it begins with http:// or https://. Others (s3://, ftp://) are none.
[[nodiscard]] bool is_address(std::string_view path);

struct Address {
    std::string shown;  // scheme, host, port and path: what messages, records and logs hold
    std::string host;   // in lower case, without port
    std::string full;   // with the user, password and query that were given: for requests alone
};

// An address taken apart by the library that makes the requests, so that both see the same host. What cannot be one is
// an input error that names `where`.
[[nodiscard]] Address address_of(const std::string& where, const std::string& text);

// Keeps what an address holds beside its place (a user, a password, a signature in its query) for the requests to come,
// and gives it without. Two addresses that differ in that alone are an input error: no record could tell them apart.
[[nodiscard]] std::string keep_address(const std::string& where, const std::string& text);

// The address to ask for what is shown so: with what was kept of it.
[[nodiscard]] Address kept_address(const std::string& where, const std::string& shown);

// Lets this host be reached, on any port. Anything but the name of a host, or its number, is an input error.
void allow_host(const std::string& host);

// An input error, with the words that would allow it, unless the host was named.
void require_allowed(const std::string& where, const Address& address);

// Hosts, kept addresses and files of an earlier run in this process are forgotten: the network is off again.
void forget_network();

}  // namespace eaveshed
