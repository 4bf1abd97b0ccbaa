// An error of the right kind whose text says what it must say.
#pragma once

#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/core/error.hpp"

namespace eaveshed::testing {

template <typename Call>
void expect_error(Call&& call, Fault fault, const std::vector<std::string>& parts) {
    try {
        call();
        ADD_FAILURE() << "no error";
    } catch (const Error& error) {
        EXPECT_EQ(error.fault(), fault) << error.what();
        for (const std::string& part : parts) {
            EXPECT_THAT(error.what(), ::testing::HasSubstr(part));
        }
        EXPECT_FALSE(error.trouble().where.empty()) << error.what();
        EXPECT_FALSE(error.trouble().remedy.empty()) << error.what();
    }
}

template <typename Call>
void expect_input_error(Call&& call, const std::vector<std::string>& parts) {
    expect_error(call, Fault::input, parts);
}

}  // namespace eaveshed::testing
