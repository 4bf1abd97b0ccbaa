#include "eaveshed/sheet/sheet.hpp"

#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <sys/stat.h>
#include <csignal>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;

Sheet call_list() {
    return {"calls",
            {{"parcel", 10.0}, {"owner", 20.0}, {"m3", 8.0}, {"rank", 6.0}},
            {{std::string("01W-0001"), std::string("=HYPERLINK(\"x\")"), 12.25, std::int64_t{1}},
             {std::string("-17"), std::string("O'Neill, \"Bob\"\nback"), Value(), std::int64_t{2}},
             {std::string("+1 555 0100"), std::string("\xC3\x85sa"), 0.1, std::int64_t{3}}}};
}

std::string content(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

TEST(TableFile, CsvQuotesAndNeutralisesFormulas) {
    const TempFolder folder;
    write_csv(folder.file("calls.csv"), call_list());
    EXPECT_EQ(content(folder.file("calls.csv")),
              "parcel,owner,m3,rank\r\n"
              "01W-0001,\"'=HYPERLINK(\"\"x\"\")\",12.25,1\r\n"
              "-17,\"O'Neill, \"\"Bob\"\"\nback\",,2\r\n"
              "'+1 555 0100,\xC3\x85sa,0.1,3\r\n");
}

TEST(TableFile, NumbersStayNumbersAndSignsOfFormulasAreTold) {
    EXPECT_EQ(csv_cell(Value(-3.5)), "-3.5");
    EXPECT_EQ(csv_cell(Value(std::string("-3.5"))), "-3.5");
    EXPECT_EQ(csv_cell(Value(std::string("-3.5 or more"))), "'-3.5 or more");
    EXPECT_EQ(csv_cell(Value(std::string("@SUM(A1)"))), "'@SUM(A1)");
    EXPECT_EQ(csv_cell(Value(std::string("\tx"))), "'\tx");
    EXPECT_EQ(csv_cell(Value(std::string(""))), "");
    EXPECT_EQ(csv_cell(Value()), "");
    EXPECT_EQ(csv_cell(Value(1.0 / 3.0)), "0.3333333333333333");
}

TEST(TableFile, OnlyTheOwnerMayReadThem) {
    const TempFolder folder;
    for (const char* name : {"calls.csv", "calls.xlsx"}) {
        const std::string path = folder.file(name);
        std::ofstream(path) << "what stood there before";
        ::chmod(path.c_str(), 0644);
        if (path.ends_with("csv")) {
            write_csv(path, call_list());
        } else {
            write_xlsx(path, call_list());
        }
        struct stat state {};
        ASSERT_EQ(::stat(path.c_str(), &state), 0);
        EXPECT_EQ(state.st_mode & 0777U, 0600U) << name;
    }
    std::size_t entries = 0;
    for ([[maybe_unused]] const auto& entry : std::filesystem::directory_iterator(folder.path())) {
        ++entries;
    }
    EXPECT_EQ(entries, 2U);
}

// Read back by GDAL's own tool: another program than the one that wrote it.
TEST(TableFile, SpreadsheetsKeepTypesAndTexts) {
    const TempFolder folder;
    write_xlsx(folder.file("calls.xlsx"), call_list());
    const std::string command =
        "ogrinfo -ro -al -q '" + folder.file("calls.xlsx") + "' > '" + folder.file("told") + "'";
    ASSERT_EQ(std::system(command.c_str()), 0);
    const std::string told = content(folder.file("told"));
    EXPECT_NE(told.find("owner (String) = =HYPERLINK(\"x\")"), std::string::npos) << told;
    EXPECT_NE(told.find("m3 (Real) = 12.25"), std::string::npos) << told;
    EXPECT_NE(told.find("parcel (String) = -17"), std::string::npos) << told;
    EXPECT_NE(told.find("owner (String) = O'Neill, \"Bob\"\nback"), std::string::npos) << told;
    EXPECT_NE(told.find("rank (Integer) = 3"), std::string::npos) << told;
}

// ECMA-376, 18.3.1.32: a validation of the type list names its words between quotes.
TEST(TableFile, SpreadsheetsOfferTheWordsOfAColumn) {
    const TempFolder folder;
    Sheet list = call_list();
    list.columns[1].choices = {"candidate", "declined"};
    write_xlsx(folder.file("calls.xlsx"), list);
    const std::string command =
        "unzip -p '" + folder.file("calls.xlsx") + "' xl/worksheets/sheet1.xml > '" + folder.file("told") + "'";
    if (std::system(command.c_str()) != 0) {
        GTEST_SKIP() << "no unzip here";
    }
    const std::string told = content(folder.file("told"));
    EXPECT_NE(told.find("sqref=\"B2:B4\""), std::string::npos) << told;
    EXPECT_NE(told.find("\"candidate,declined\""), std::string::npos) << told;
}

TEST(TableFile, EqualTablesGiveEqualBytes) {
    const TempFolder folder;
    write_xlsx(folder.file("a.xlsx"), call_list());
    write_xlsx(folder.file("b.xlsx"), call_list());
    EXPECT_EQ(content(folder.file("a.xlsx")), content(folder.file("b.xlsx")));
}

// Whatever stands in a cell, what was written is known again.
TEST(TableFile, OddTextsAreNoDamage) {
    const TempFolder folder;
    Sheet list{.name = "Odd", .columns = {{.title = "Text & <more>\xE2\x80\xAE"}, {.title = "Number"}}, .rows = {}};
    for (const char* const text : {"", " spaces ", "a<b>&\"c\"'d'", "two\nlines", "tab\there", "\x01 control",
                                   "\xE2\x80\xAE mark", "_x0041_", "&amp;", "</t></si>", "\xEF\xBF\xBE",
                                   "h\xC3\xB6he \xF0\x9F\x92\xA7", "=1+1", "https://example.org/", "12", "</v>"}) {
        list.rows.push_back({std::string(text), Value()});
    }
    list.rows.push_back({std::string(40000, 'x'), Value()});
    for (const double number : {0.0, -0.0, 0.1, 1.0 / 3.0, 1e300, -5e-324, 123456789012345678.0}) {
        list.rows.push_back({Value(), number});
    }
    list.rows.push_back({Value(), std::int64_t{9007199254740993}});
    for (int i = 0; i < 40; ++i) {  // beyond column Z
        list.columns.push_back({.title = "c" + std::to_string(i)});
        for (std::vector<Value>& row : list.rows) {
            row.emplace_back(i % 2 == 0 ? Value(static_cast<double>(i)) : Value());
        }
    }
    EXPECT_NO_THROW(write_xlsx(folder.file("odd.xlsx"), list));
}

// The library that writes spreadsheets does not look whether its temporary files were taken: files of over 64 KiB are
// refused here, and the sheet within the list is longer, the packed list not.
TEST(TableFile, ASpreadsheetWhoseTemporaryFilesWereRefusedIsNoList) {
    const TempFolder folder;
    Sheet list{.name = "Long", .columns = {{.title = "Text"}}, .rows = {}};
    for (int i = 0; i < 2000; ++i) {
        list.rows.push_back({std::string("the same")});
    }
    const pid_t child = fork();
    if (child == 0) {
        std::signal(SIGXFSZ, SIG_IGN);  // NOLINT(cert-err33-c)
        const rlimit limit{65536, 65536};
        ::setrlimit(RLIMIT_FSIZE, &limit);
        try {
            write_xlsx(folder.file("list.xlsx"), list);
            _exit(0);
        } catch (const Error& error) {
            _exit(error.exit_code());
        }
    }
    int status = 0;
    ASSERT_EQ(waitpid(child, &status, 0), child);
    EXPECT_EQ(WEXITSTATUS(status), 1);
    EXPECT_TRUE(std::filesystem::is_empty(folder.path()));
    write_xlsx(folder.file("list.xlsx"), list);
    EXPECT_LT(std::filesystem::file_size(folder.file("list.xlsx")), 65536U);
}

TEST(TableFile, AFolderThatIsNotThereIsTold) {
    testing::expect_error([] { write_csv("/no-such-folder/calls.csv", call_list()); }, Fault::working,
                          {"no-such-folder"});
}

TEST(TableFile, RowByRowGivesTheSameBytesAndNothingBeforeItIsPublished) {
    const TempFolder folder;
    const Sheet table = call_list();
    write_csv(folder.file("whole.csv"), table);
    {
        CsvFile file(folder.file("rows.csv"), {"parcel", "owner", "m3", "rank"});
        for (const auto& row : table.rows) {
            file.add(row);
        }
        EXPECT_FALSE(std::filesystem::exists(folder.file("rows.csv")));
        file.publish();
    }
    EXPECT_EQ(content(folder.file("rows.csv")), content(folder.file("whole.csv")));
    {
        CsvFile file(folder.file("dropped.csv"), {"a"});
        for (int i = 0; i < 300'000; ++i) {
            file.add({std::string("more than is written at once")});
        }
    }
    const auto left = std::distance(std::filesystem::directory_iterator(folder.path()), {});
    EXPECT_EQ(left, 2);
}

}  // namespace
}  // namespace eaveshed
