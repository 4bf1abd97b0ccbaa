// A finished GeoPackage held against what it was to be (package_check.hpp). Private to the module.
#pragma once

#include <fmt/format.h>

#include <filesystem>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "eaveshed/core/error.hpp"
#include "eaveshed/outside/sqlite.hpp"
#include "eaveshed/package/package_check.hpp"

namespace eaveshed {

// Each look throws a working error that names the output for the first thing that is amiss.
class Inspection {
public:
    Inspection(std::filesystem::path file, std::filesystem::path output, const GeoPackageSpec& spec,
               const PackageContent& content)
        : m_file(std::move(file)),
          m_output(std::move(output)),
          m_spec(spec),
          m_content(content),
          m_database(m_file, DatabaseAccess::read) {}

    void look();

private:
    void look_at_tables();

    [[noreturn]] void amiss(const std::string& found, const std::string& wanted) const {
        throw working_error(m_output.string(), "a finished draft with " + found, wanted,
                            "nothing was put in place: check the disk of the folder, then run again");
    }

    // The first column of the only row, as text; empty where there is none.
    std::string text(const std::string& sql, const std::vector<Value>& bound = {}) {
        Statement query(m_database, sql);
        bind(query, bound);
        return query.step() ? query.text(0) : std::string();
    }
    std::int64_t number(const std::string& sql, const std::vector<Value>& bound = {}) {
        Statement query(m_database, sql);
        bind(query, bound);
        return query.step() ? query.integer(0) : 0;
    }
    static void bind(Statement& query, const std::vector<Value>& bound) {
        for (std::size_t i = 0; i < bound.size(); ++i) {
            query.bind(static_cast<int>(i + 1), bound[i]);
        }
    }

    void want(std::string_view what, std::int64_t found, std::int64_t wanted) const {
        if (found != wanted) {
            amiss(fmt::format("{} {}", found, what), std::to_string(wanted));
        }
    }
    void want(const std::string& what, const std::string& found, const std::string& wanted) const {
        if (found != wanted) {
            amiss(fmt::format("\"{}\" as {}", found, what), "\"" + wanted + "\"");
        }
    }
    // A table that is missing is told by its name, not by SQLite's words for a statement that cannot be prepared.
    void want_table(const std::string& name) {
        if (number("SELECT COUNT(*) FROM sqlite_master WHERE type = 'table' AND name = ?", {name}) != 1) {
            amiss("no table " + name, "every table of the result");
        }
    }
    void want_extension(const std::string& table, const std::string& extension) {
        want_table("gpkg_extensions");
        want(fmt::format("entries of {} for {} in gpkg_extensions", extension, table),
             number("SELECT COUNT(*) FROM gpkg_extensions WHERE table_name = ? AND extension_name = ?",
                    {table, extension}),
             1);
    }

    void look_at_file();
    void look_at_layer(const LayerSpec& layer, const LayerContent& content);
    void look_at_columns(const LayerSpec& layer);
    void look_at_geometries(const LayerSpec& layer, const LayerContent& content);
    void look_at_index(const LayerSpec& layer, const LayerContent& content);
    [[nodiscard]] bool numbered_alike(const std::string& table, const std::string& entries,
                                      const LayerContent& content);
    void look_at_triggers();
    void look_at_words();
    void look_at_metadata();
    void look_at_relations();
    void look_at_styles();

    std::filesystem::path m_file;
    std::filesystem::path m_output;
    const GeoPackageSpec& m_spec;
    const PackageContent& m_content;
    Database m_database;
};

}  // namespace eaveshed
