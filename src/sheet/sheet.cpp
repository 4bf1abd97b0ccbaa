#include "eaveshed/sheet/sheet.hpp"

#include <fmt/format.h>
#include <xlsxwriter.h>

#include <cerrno>
#include <charconv>
#include <memory>
#include <span>
#include <string_view>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/files/new_file.hpp"
#include "eaveshed/words/room.hpp"
#include "eaveshed/words/safe_output.hpp"
#include "xlsx_check.hpp"

namespace eaveshed {

namespace {

bool is_number(std::string_view text) {
    double value = 0.0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
    return fault == std::errc() && end == text.data() + text.size();
}

bool looks_like_a_formula(std::string_view text) {
    constexpr std::string_view kSigns = "=+-@\t\r\n";
    return !text.empty() && kSigns.find(text.front()) != std::string_view::npos && !is_number(text);
}

std::string in_quotes(std::string_view text) {
    if (text.find_first_of(",\"\r\n") == std::string_view::npos) {
        return std::string(text);
    }
    std::string out = "\"";
    for (const char c : text) {
        out += c == '"' ? "\"\"" : std::string(1, c);
    }
    return out + "\"";
}

// Also for who reads the file in a terminal.
std::string csv_text(const std::string& given) {
    const std::string text = without_controls(given);
    return in_quotes(looks_like_a_formula(text) ? "'" + text : text);
}

// The most that a cell of the format holds, cut between two characters.
std::string shortened(const std::string& text) {
    constexpr std::size_t kMost = 32767;
    if (text.size() <= kMost) {
        return text;
    }
    std::size_t end = kMost;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) {
        --end;
    }
    return text.substr(0, end);
}

// A text as a cell of a spreadsheet holds it.
std::string cell_text(const std::string& given) {
    return shortened(without_controls(given));
}

void write_cell(lxw_worksheet* sheet, lxw_row_t row, lxw_col_t col, const Value& value, lxw_error& fault) {
    lxw_error done = LXW_NO_ERROR;
    if (const auto* text = std::get_if<std::string>(&value)) {
        done = worksheet_write_string(sheet, row, col, cell_text(*text).c_str(), nullptr);
    } else if (const auto* real = std::get_if<double>(&value)) {
        done = worksheet_write_number(sheet, row, col, *real, nullptr);
    } else if (const auto* whole = std::get_if<std::int64_t>(&value)) {
        done = worksheet_write_number(sheet, row, col, static_cast<double>(*whole), nullptr);
    }
    fault = fault == LXW_NO_ERROR ? done : fault;
}

void offer_choices(lxw_worksheet* sheet, const Sheet& table, lxw_error& fault) {
    for (std::size_t col = 0; col < table.columns.size() && !table.rows.empty(); ++col) {
        std::vector<std::string> choices = table.columns[col].choices;
        if (choices.empty()) {
            continue;
        }
        std::vector<char*> words;
        words.reserve(choices.size() + 1);
        for (std::string& choice : choices) {
            words.push_back(choice.data());
        }
        words.push_back(nullptr);
        lxw_data_validation offered{};
        offered.validate = LXW_VALIDATION_TYPE_LIST;
        offered.value_list = words.data();
        offered.error_type = LXW_VALIDATION_ERROR_TYPE_WARNING;
        const auto at = static_cast<lxw_col_t>(col);
        const lxw_error done =
            worksheet_data_validation_range(sheet, 1, at, static_cast<lxw_row_t>(table.rows.size()), at, &offered);
        fault = fault == LXW_NO_ERROR ? done : fault;
    }
}

void fill_sheet(lxw_workbook* book, lxw_worksheet* sheet, const Sheet& table, lxw_error& fault) {
    lxw_format* const bold = workbook_add_format(book);
    format_set_bold(bold);
    format_set_text_wrap(bold);
    for (std::size_t col = 0; col < table.columns.size(); ++col) {
        const auto at = static_cast<lxw_col_t>(col);
        worksheet_set_column(sheet, at, at, table.columns[col].width, nullptr);
        worksheet_write_string(sheet, 0, at, cell_text(table.columns[col].title).c_str(), bold);
    }
    for (std::size_t row = 0; row < table.rows.size(); ++row) {
        for (std::size_t col = 0; col < table.rows[row].size(); ++col) {
            write_cell(sheet, static_cast<lxw_row_t>(row + 1), static_cast<lxw_col_t>(col), table.rows[row][col],
                       fault);
        }
    }
    offer_choices(sheet, table, fault);
    worksheet_freeze_panes(sheet, 1, 0);
    if (!table.rows.empty() && !table.columns.empty()) {
        worksheet_autofilter(sheet, 0, 0, static_cast<lxw_row_t>(table.rows.size()),
                             static_cast<lxw_col_t>(table.columns.size() - 1));
    }
    worksheet_set_landscape(sheet);
    worksheet_repeat_rows(sheet, 0, 0);
}

[[noreturn]] void fail_xlsx(const std::filesystem::path& path, const std::filesystem::path& folder,
                            const std::string& why) {
    constexpr std::uint64_t kLittle = 1U << 16U;  // under it a disk counts as full: the library does not say why
    const bool no_room = errno == ENOSPC || errno == EDQUOT || free_bytes(folder).value_or(kLittle) < kLittle;
    const std::string found =
        fmt::format("cannot be made among the temporary files of {}: {} ({})", folder.string(), why, room_text(folder));
    throw Error(no_room ? Fault::passing : Fault::working,
                {path.string(), found, "",
                 "free some room there, or let the environment's TMPDIR name another folder, then run again"});
}

// The table as a file of the folder.
void make_xlsx(const std::filesystem::path& file, const std::filesystem::path& folder, const Sheet& table,
               const std::filesystem::path& output) {
    std::string folder_name = folder.string();
    lxw_workbook_options options{};
    options.tmpdir = folder_name.data();
    errno = 0;
    lxw_workbook* const book = workbook_new_opt(file.c_str(), &options);
    if (book == nullptr) {
        fail_xlsx(output, folder, lxw_strerror(LXW_ERROR_MEMORY_MALLOC_FAILED));
    }
    lxw_doc_properties properties{};
    properties.created = 1;  // any fixed time: equal tables give equal bytes
    workbook_set_properties(book, &properties);
    lxw_error fault = LXW_NO_ERROR;
    lxw_worksheet* const sheet = workbook_add_worksheet(book, table.name.c_str());
    if (sheet == nullptr) {
        fault = LXW_ERROR_PARAMETER_VALIDATION;
    } else {
        fill_sheet(book, sheet, table, fault);
    }
    const lxw_error closed = workbook_close(book);
    if (fault != LXW_NO_ERROR || closed != LXW_NO_ERROR) {
        fail_xlsx(output, folder, lxw_strerror(fault != LXW_NO_ERROR ? fault : closed));
    }
}

}  // namespace

std::string csv_cell(const Value& value) {
    if (const auto* text = std::get_if<std::string>(&value)) {
        return csv_text(*text);
    }
    if (const auto* real = std::get_if<double>(&value)) {
        return fmt::format("{}", *real);
    }
    if (const auto* whole = std::get_if<std::int64_t>(&value)) {
        return std::to_string(*whole);
    }
    return "";
}

struct CsvFile::Impl {
    explicit Impl(const std::filesystem::path& path) : file(path, NewFile::Readers::owner) {}

    void add_line(const std::vector<std::string>& cells) {
        std::string_view comma;
        for (const std::string& cell : cells) {
            text += comma;
            text += cell;
            comma = ",";
        }
        text += "\r\n";
        constexpr std::size_t kAtOnce = 1U << 20U;
        if (text.size() >= kAtOnce) {
            write_out();
        }
    }
    void write_out() {
        file.append(text);
        text.clear();
    }

    NewFile file;
    std::string text;  // not written yet
};

CsvFile::CsvFile(const std::filesystem::path& path, const std::vector<std::string>& titles)
    : m_impl(std::make_unique<Impl>(path)) {
    std::vector<std::string> cells;
    cells.reserve(titles.size());
    for (const std::string& title : titles) {
        cells.push_back(csv_text(title));
    }
    m_impl->add_line(cells);
}

CsvFile::~CsvFile() = default;

void CsvFile::add(const std::vector<Value>& row) {
    std::vector<std::string> cells;
    cells.reserve(row.size());
    for (const Value& value : row) {
        cells.push_back(csv_cell(value));
    }
    m_impl->add_line(cells);
}

void CsvFile::publish() {
    m_impl->write_out();
    m_impl->file.publish();
}

void write_csv(const std::filesystem::path& path, const Sheet& table) {
    std::vector<std::string> titles;
    for (const SheetColumn& column : table.columns) {
        titles.push_back(column.title);
    }
    CsvFile file(path, titles);
    for (const std::vector<Value>& row : table.rows) {
        file.add(row);
    }
    file.publish();
}

void write_xlsx(const std::filesystem::path& path, const Sheet& table) {
    if (table.rows.size() >= LXW_ROW_MAX || table.columns.size() > LXW_COL_MAX) {
        throw input_error(path.string(), fmt::format("{} rows", table.rows.size()),
                          fmt::format("at most {} in a spreadsheet", LXW_ROW_MAX - 1),
                          "list fewer with --top, or write CSV");
    }
    // The library writes wherever the name leads, and its own temporary files beside: into a folder that is ours alone.
    const ScratchFolder scratch;
    const std::filesystem::path made = scratch.path() / "list.xlsx";
    make_xlsx(made, scratch.path(), table, path);
    const File file(made, File::Mode::read);
    std::string bytes(file.size(), '\0');
    file.read_at(0, {reinterpret_cast<unsigned char*>(bytes.data()), bytes.size()});
    if (const std::string amiss = amiss_in_xlsx(bytes, table, cell_text); !amiss.empty()) {
        fail_xlsx(path, scratch.path(), amiss);
    }
    write_new_file(path, bytes, NewFile::Readers::owner);
}

}  // namespace eaveshed
