// The page as a browser has it: its script runs under its policy, nothing is complained of, and paper holds the
// headline.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cstdio>

#include "eaveshed/report/report.hpp"
#include "run/run_project.hpp"
#include "support/edit_file.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;

struct Said {
    int code = 0;
    std::string text;
};

Said run(const std::string& command) {
    Said said;
    FILE* pipe = ::popen((command + " 2>&1").c_str(), "r");
    std::array<char, 4096> buffer{};
    while (pipe != nullptr && std::fgets(buffer.data(), buffer.size(), pipe) != nullptr) {
        said.text += buffer.data();
    }
    said.code = pipe != nullptr ? ::pclose(pipe) : -1;
    return said;
}

bool is_there(const std::string& program) {
    return run("command -v " + program).code == 0;
}

// A page with names that try to run, and a browser to look at it with.
class ReportInABrowser : public ::testing::Test {
protected:
    void SetUp() override {
        if (!is_there("chromium") || !is_there("pdftotext")) {
            GTEST_SKIP() << "needs chromium and pdftotext (Debian packages chromium and poppler-utils)";
        }
        const std::string file = m_folder.file("demo.gpkg");
        screened(demo_project(), file);
        testing::edit_file(file,
                           {"UPDATE parcels SET parcel_id = '<script>document.title=\"taken\"</script>' WHERE rank = 1",
                            "UPDATE parcels SET ask_first = '<img src=x onerror=alert(1)>' WHERE rank = 2"});
        Findings findings;
        const ReportDone done =
            write_report({.file = file, .folder = m_folder.file("report"), .project = demo_project()}, findings);
        m_page = done.files.at(0);
    }
    [[nodiscard]] std::string chromium(const std::string& words) const {
        return "chromium --headless=new --no-sandbox --disable-gpu --user-data-dir=" + m_folder.file("profile") +
               " --enable-logging=stderr " + words + " file://" + m_page;
    }
    TempFolder m_folder;
    std::string m_page;
};

TEST_F(ReportInABrowser, ItsScriptRunsAndNobodyElses) {
    const Said said = run(chromium("--dump-dom"));
    ASSERT_EQ(said.code, 0) << said.text.substr(0, 2000);
    EXPECT_NE(said.text.find("158 of 158 rows"), std::string::npos);  // the filter is at work
    EXPECT_NE(said.text.find("<button type=\"button\">score</button>"), std::string::npos);
    EXPECT_EQ(said.text.find("CONSOLE"), std::string::npos);
    EXPECT_EQ(said.text.find("Refused to"), std::string::npos);
    EXPECT_EQ(said.text.find("<title>taken</title>"), std::string::npos);
    EXPECT_EQ(said.text.find("<img"), std::string::npos);
}

TEST_F(ReportInABrowser, PaperHoldsTheHeadlineAndTheHostileNameAsText) {
    const std::string pdf = m_folder.file("page.pdf");
    ASSERT_EQ(run(chromium("--no-pdf-header-footer --print-to-pdf=" + pdf)).code, 0);
    const Said text = run("pdftotext -layout " + pdf + " -");
    ASSERT_EQ(text.code, 0);
    EXPECT_NE(text.text.find("0.565 L/s more on average over Aug, Sep, Oct"), std::string::npos);
    EXPECT_NE(text.text.find("Whom to call first"), std::string::npos);
    EXPECT_NE(text.text.find("<script>"), std::string::npos);
}

}  // namespace
}  // namespace eaveshed
