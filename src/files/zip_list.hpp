// What a zip archive says that it holds, without unpacking anything. Private to the module.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace eaveshed {

struct ZipList {
    std::vector<std::string> names;  // of files, as written
    std::uint64_t unpacked_bytes = 0;
    std::string leading_out;  // the first name that would be written outside the folder; empty: none
};

// From the directory at the file's end (APPNOTE.TXT of PKWARE, 4.3.12 and 4.3.16). Empty for what is no such archive,
// for one of more than 4 GiB and for a directory of more than 16 MiB.
[[nodiscard]] ZipList zip_list(const std::string& path);

}  // namespace eaveshed
