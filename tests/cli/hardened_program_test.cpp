// What the built program was made with, as the file itself and this test's own flags, which are the same, say.
#include <cstdio>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace eaveshed {
namespace {

using ::testing::AnyOf;
using ::testing::ContainsRegex;
using ::testing::HasSubstr;
using ::testing::Not;

// Empty where readelf is missing.
std::string readelf(const std::string& options) {
    const std::string command = "LC_ALL=C readelf -W " + options + " '" EAVESHED_PROGRAM "' 2> /dev/null";
    std::FILE* const pipe = ::popen(command.c_str(), "r");  // NOLINT(cert-env33-c)
    std::string text;
    for (int letter = std::fgetc(pipe); letter != EOF; letter = std::fgetc(pipe)) {
        text += static_cast<char>(letter);
    }
    ::pclose(pipe);
    return text;
}

TEST(HardenedProgram, StandsAtAnotherAddressEachTimeAndItsTablesCannotBeWritten) {
    const std::string file = readelf("-h -l -d");
    if (file.empty()) {
        GTEST_SKIP() << "no readelf here";
    }
    EXPECT_THAT(file, ContainsRegex("Type: +DYN"));
    EXPECT_THAT(file, HasSubstr("GNU_RELRO"));
    EXPECT_THAT(file, AnyOf(HasSubstr("BIND_NOW"), ContainsRegex("FLAGS_1.*NOW")));
    EXPECT_THAT(file, ContainsRegex("FLAGS_1.*PIE"));
    EXPECT_THAT(file, ContainsRegex("GNU_STACK[ 0-9a-fx]+RW "));
    EXPECT_THAT(file, Not(HasSubstr("TEXTREL")));
    EXPECT_THAT(file,
                Not(AnyOf(HasSubstr("RPATH"), ContainsRegex("RUNPATH.*\\[[^/]"))));  // no folder of whoever runs it
}

#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
TEST(HardenedProgram, ChecksItsStackAndTheLengthsOfCopies) {
    const std::string symbols = readelf("--dyn-syms");
    if (symbols.empty()) {
        GTEST_SKIP() << "no readelf here";
    }
    EXPECT_THAT(symbols, HasSubstr("__stack_chk_fail"));
#if defined(__OPTIMIZE__)
    EXPECT_THAT(symbols, ContainsRegex("__[a-z]+_chk"));
    EXPECT_EQ(_FORTIFY_SOURCE, 2);
#endif
}
#endif

#if defined(__x86_64__)
TEST(HardenedProgram, IndirectJumpsEndWhereOnesMayEnd) {
#if defined(__CET__)
    EXPECT_EQ(__CET__, 3);
#else
    ADD_FAILURE() << "-fcf-protection is missing";
#endif
}
#endif

}  // namespace
}  // namespace eaveshed
