// The program run by its words, as a shell would, and all that it said.
#pragma once

#include <gtest/gtest.h>

#include <sstream>
#include <string>
#include <vector>

#include "eaveshed/cli/program.hpp"

namespace eaveshed::testing {

struct ProgramSaid {
    int code = 0;
    std::string out;
    std::string errors;
};

inline ProgramSaid program_said(const std::vector<std::string>& words) {
    std::ostringstream out;
    ::testing::internal::CaptureStderr();
    const int code = run_program(words, out);
    return {code, out.str(), ::testing::internal::GetCapturedStderr()};
}

}  // namespace eaveshed::testing
