// Pages under docs that the program makes.
#pragma once

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>
#include <string>

namespace eaveshed::testing {

// The committed page is `made`, else the first line that differs is shown. `page`: "docs/checks.md". `remedy`: what
// makes it anew.
inline void expect_committed_page(const std::string& page, const std::string& made, const std::string& remedy) {
    std::ifstream in(std::string(EAVESHED_SOURCE_DIR) + '/' + page, std::ios::binary);
    ASSERT_TRUE(in) << page;
    std::ostringstream kept;
    kept << in.rdbuf();
    ASSERT_FALSE(made.empty()) << page;
    if (kept.str() == made) {
        return;
    }
    std::istringstream kept_lines(kept.str());
    std::istringstream made_lines(made);
    std::string kept_line;
    std::string made_line;
    do {
        kept_line.clear();
        made_line.clear();
        std::getline(kept_lines, kept_line);
        std::getline(made_lines, made_line);
    } while (kept_line == made_line && (kept_lines || made_lines));
    ADD_FAILURE() << page << " is out of date: " << remedy << "\nit has   " << kept_line << "\nit should " << made_line;
}

}  // namespace eaveshed::testing
