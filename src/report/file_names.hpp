// Names of files of which each belongs to one parcel. Private to the module.
#pragma once

#include <fmt/format.h>

#include <set>
#include <string>

#include "eaveshed/page/report_folder.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

// No two are the same, in whatever case a file system tells them apart.
class ParcelFileNames {
public:
    ParcelFileNames(std::string folder, std::string ending)
        : m_folder(std::move(folder)), m_ending(std::move(ending)) {}

    // "parcels/01W-0078.html"; a second one of that name is "parcels/01W-0078-2.html".
    [[nodiscard]] std::string next(const std::string& parcel_id) {
        const std::string plain = file_name_of(parcel_id);
        std::string name = plain;
        for (int number = 2; !m_taken.insert(lower_case(name)).second; ++number) {
            name = fmt::format("{}-{}", plain, number);
        }
        return m_folder + "/" + name + m_ending;
    }

private:
    std::string m_folder;
    std::string m_ending;
    std::set<std::string> m_taken;
};

}  // namespace eaveshed
