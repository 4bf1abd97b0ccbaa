// A program run with a fault in it, and what it left: whether every file is as before or as an undisturbed run leaves
// it, what it said, and whether the same work done again comes out the same.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "faults/running.hpp"

namespace eaveshed::testing {

// A piece of work on one folder. All names in it are relative to that folder.
struct Work {
    Words words;
    Words again;                     // what is said to do it once more after a failure
    Files before;                    // what lies in the folder
    std::set<std::string> may_stay;  // names that a work that failed may leave
    std::set<std::string> of_dead;   // beginnings of those that one may leave that was killed
    std::set<std::string> unlike;    // names of files that no two runs make alike
    std::string whole_folder = {};   // one whose files are all as before or all as they are to be
    bool may_stop = false;           // a signal ends it with its own code
};

struct Fault {
    std::string call;
    long at = 0;
    std::string action = "5";  // errno, or what tests/faults/fault_library.cpp understands
    bool on = false;
    std::string under = {};  // of the work's folder; "tmp": of the one for temporary files; "*": any file
    long bytes = -1;
    long least = 0;
};

struct Outcome {
    std::string struck;  // the call and the file; empty where nothing was
    Ended ended;
    std::string wrong;  // empty: as it should be
};

class Trial {
public:
    Trial(std::string program, std::string library, Work work)
        : m_program(std::move(program)), m_library(std::move(library)), m_work(std::move(work)) {
        Place place(m_work.before);
        const Ended ended = run(m_work.words, place, {});
        m_reference = files_in(place.work(), m_work.unlike);
        m_sound = ended.code == 0 ? "" : ended.errors;
    }
    // Why it cannot be done undisturbed; empty where it can.
    [[nodiscard]] const std::string& trouble() const { return m_sound; }
    [[nodiscard]] const Files& reference() const { return m_reference; }

    // How many calls of the fault's kind an undisturbed run makes, or how many bytes it writes.
    [[nodiscard]] long count(Fault fault) const {
        fault.at = 0;
        fault.bytes = fault.bytes >= 0 ? 1L << 60 : -1;
        Place place(m_work.before);
        const Ended ended = run(m_work.words, place, environment(fault, place));
        const std::string mark = bytes_of(place.mark());
        return mark.rfind("none ", 0) == 0 && ended.code == 0 ? std::stol(mark.substr(5)) : -1;
    }

    [[nodiscard]] Outcome with(const Fault& fault) const {
        Place place(m_work.before);
        Outcome outcome;
        outcome.ended = run(m_work.words, place, environment(fault, place));
        const std::string mark = bytes_of(place.mark());
        outcome.struck = mark.rfind("none ", 0) == 0 ? "" : mark.substr(0, mark.find('\n'));
        show_hidden(place.folder.path());
        outcome.wrong =
            judge(outcome.ended, place,
                  fault.action == "kill" || fault.action.rfind("hide", 0) == 0 || fault.call == "allocate" || fault.on);
        return outcome;
    }

    // In a folder that the caller made and looks at; its "tmp" is for temporary files.
    [[nodiscard]] Ended run_in(const fs::path& folder, const Fault& fault) const {
        Words words{m_program};
        words.insert(words.end(), m_work.words.begin(), m_work.words.end());
        const TempFolder mark;
        Words all{"TMPDIR=" + (folder / "tmp").string(),
                  "LD_PRELOAD=" + m_library,
                  "EAVESHED_FAULT_CALL=" + fault.call,
                  "EAVESHED_FAULT_MARK=" + mark.file("mark"),
                  fmt::format("EAVESHED_FAULT_AT={}", fault.at),
                  "EAVESHED_FAULT_UNDER=" + folder.string(),
                  "EAVESHED_FAULT_DO=" + placed(fault.action, folder)};
        return Running(words, folder, all).wait();
    }

    // The same with any other way to run it: strace, a full disk.
    [[nodiscard]] Outcome by(const Words& front, const Words& environment = {}) const {
        Place place(m_work.before);
        Outcome outcome;
        Words words = front;
        words.push_back(m_program);
        words.insert(words.end(), m_work.words.begin(), m_work.words.end());
        Words all{"TMPDIR=" + place.tmp().string()};
        all.insert(all.end(), environment.begin(), environment.end());
        outcome.ended = Running(words, place.work(), all).wait();
        outcome.wrong = judge(outcome.ended, place, false);
        return outcome;
    }

    // What is amiss with what a run left in the folder and said; then it is done again there. `hampered`: it could not
    // put things away, being killed or without any open file.
    [[nodiscard]] std::string judge_there(const Ended& ended, const fs::path& folder, const fs::path& tmp,
                                          bool hampered) const {
        if (const std::string wrong = wrong_with_words(ended); !wrong.empty()) {
            return wrong;
        }
        if (const std::string wrong = wrong_with_files(ended, folder, hampered); !wrong.empty()) {
            return wrong;
        }
        if (!hampered && !fs::is_empty(tmp)) {
            return "left over among the temporary files: " + files_in(tmp).begin()->first;
        }
        if (ended.code == 0 && files_in(folder, m_work.unlike) == m_reference) {
            return "";
        }
        Words words{m_program};
        words.insert(words.end(), m_work.again.begin(), m_work.again.end());
        const Ended again = Running(words, folder, {"TMPDIR=" + tmp.string()}).wait();
        if (again.code != 0) {
            return fmt::format("again: code {}, {}", again.code, again.errors);
        }
        const Files files = files_in(folder, m_work.unlike);
        return files == m_reference ? "" : "again: " + difference(files, m_reference);
    }

private:
    struct Place {
        explicit Place(const Files& before) {
            fs::create_directory(work());
            fs::create_directory(tmp());
            write_files(before, work());
        }
        [[nodiscard]] fs::path work() const { return folder.path() / "work"; }
        [[nodiscard]] fs::path tmp() const { return folder.path() / "tmp"; }
        [[nodiscard]] std::string mark() const { return folder.file("mark"); }
        TempFolder folder;
    };

    Ended run(const Words& said, const Place& place, const Words& environment) const {
        Words words{m_program};
        words.insert(words.end(), said.begin(), said.end());
        Words all{"TMPDIR=" + place.tmp().string()};
        all.insert(all.end(), environment.begin(), environment.end());
        return Running(words, place.work(), all).wait();
    }

    Words environment(const Fault& fault, const Place& place) const {
        Words words{"LD_PRELOAD=" + m_library, "EAVESHED_FAULT_CALL=" + fault.call,
                    "EAVESHED_FAULT_MARK=" + place.mark(), fmt::format("EAVESHED_FAULT_AT={}", fault.at),
                    "EAVESHED_FAULT_DO=" + placed(fault.action, place.work())};
        if (fault.under != "*") {
            const fs::path folder = fault.under == "tmp" ? place.tmp() : place.work() / fault.under;
            words.push_back("EAVESHED_FAULT_UNDER=" + folder.string());
        }
        if (fault.on) {
            words.emplace_back("EAVESHED_FAULT_ON=1");
        }
        if (fault.bytes >= 0) {
            words.push_back(fmt::format("EAVESHED_FAULT_BYTES={}", fault.bytes));
        }
        if (fault.least > 0) {
            words.push_back(fmt::format("EAVESHED_FAULT_LEAST={}", fault.least));
        }
        return words;
    }
    // "cut FILE" is of a file of the work's folder.
    static std::string placed(const std::string& action, const fs::path& work) {
        const std::size_t space = action.find(' ');
        return space == std::string::npos ? action
                                          : action.substr(0, space + 1) + (work / action.substr(space + 1)).string();
    }
    static void show_hidden(const fs::path& folder) {
        std::vector<fs::path> hidden;
        for (const auto& entry : fs::recursive_directory_iterator(folder)) {
            if (entry.path().extension() == ".hidden") {
                hidden.push_back(entry.path());
            }
        }
        for (const fs::path& path : hidden) {
            fs::path shown = path;
            shown.replace_extension();
            fs::remove_all(shown);
            fs::rename(path, shown);
        }
    }

    [[nodiscard]] std::string judge(const Ended& ended, const Place& place, bool hampered) const {
        return judge_there(ended, place.work(), place.tmp(), hampered);
    }

    [[nodiscard]] std::string wrong_with_words(const Ended& ended) const {
        const std::set<int> fine = m_work.may_stop ? std::set<int>{0, 1, 2, 75, 143} : std::set<int>{0, 1, 2, 75};
        if (ended.code == -SIGKILL) {
            return "";
        }
        if (!fine.contains(ended.code)) {
            return fmt::format("code {}, {}", ended.code, ended.errors);
        }
        if (ended.code != 0 && ended.code != 143 && ended.errors.find("error: ") == std::string::npos) {
            return fmt::format("code {} without a word of why: {}", ended.code, ended.errors);
        }
        return "";
    }

    // Every file is whole: as before, or as it is to be. Where all went well, as it is to be; what could not be put
    // away is told then.
    [[nodiscard]] std::string wrong_with_files(const Ended& ended, const fs::path& folder, bool hampered) const {
        const Files files = files_in(folder, m_work.unlike);
        const bool told = ended.code == 0 && ended.errors.find("cannot be removed") != std::string::npos;
        for (const auto& [name, bytes] : files) {
            const bool as_before = ended.code != 0 && m_work.before.contains(name) && m_work.before.at(name) == bytes;
            const bool as_meant = m_reference.contains(name) && m_reference.at(name) == bytes;
            const bool stays = (ended.code != 0 && m_work.may_stay.contains(name)) ||
                               ((hampered || told) && begins_with_one(name, m_work.of_dead));
            if (!as_before && !as_meant && !stays) {
                return fmt::format("code {}, and left over, earlier or half-written: {} ({})", ended.code, name,
                                   ended.errors);
            }
        }
        for (const auto& [name, bytes] : ended.code == 0 ? m_reference : m_work.before) {
            const bool of_whole = !m_work.whole_folder.empty() && begins_with_one(name, {m_work.whole_folder + "/"});
            if (!files.contains(name) && !of_whole) {
                return fmt::format("code {}, and gone: {} ({})", ended.code, name, ended.errors);
            }
        }
        const Files whole = of_folder(files);
        if (!m_work.whole_folder.empty() && whole != of_folder(m_work.before) && whole != of_folder(m_reference)) {
            return fmt::format("code {}, and {} is some of each ({})", ended.code, m_work.whole_folder, ended.errors);
        }
        return "";
    }

    [[nodiscard]] Files of_folder(const Files& files) const {
        Files part;
        std::copy_if(files.begin(), files.end(), std::inserter(part, part.end()),
                     [&](const auto& file) { return file.first.rfind(m_work.whole_folder + "/", 0) == 0; });
        return part;
    }

    static bool begins_with_one(const std::string& name, const std::set<std::string>& beginnings) {
        return std::any_of(beginnings.begin(), beginnings.end(),
                           [&](const std::string& begin) { return name.rfind(begin, 0) == 0; });
    }

    static std::string difference(const Files& found, const Files& wanted) {
        for (const auto& [name, bytes] : wanted) {
            if (!found.contains(name)) {
                return "no " + name;
            }
            if (found.at(name) != bytes) {
                return name + " differs";
            }
        }
        for (const auto& [name, bytes] : found) {
            if (!wanted.contains(name)) {
                return name + " is left over";
            }
        }
        return "no difference";
    }

    std::string m_program;
    std::string m_library;
    Work m_work;
    Files m_reference;
    std::string m_sound;
};

}  // namespace eaveshed::testing
