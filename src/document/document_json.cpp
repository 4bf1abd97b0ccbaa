#include <nlohmann/json.hpp>

#include "eaveshed/document/document.hpp"

namespace eaveshed {

namespace {

using Json = nlohmann::ordered_json;

Json json_of(const Value& value) {
    return std::visit(
        []<typename T>(const T& held) -> Json {
            if constexpr (std::is_same_v<T, std::monostate>) {
                return nullptr;
            } else {
                return held;
            }
        },
        value);
}

struct JsonPartWriter {
    Json& section;

    void operator()(const Words& words) const { section["words"].push_back(words.text); }
    void operator()(const Fact& fact) const {
        section["values"][fact.key] = json_of(fact.value);
        if (!fact.from.empty()) {
            section["from"][fact.key] = fact.from;
        }
    }
    void operator()(const FactTable& table) const {
        Json& rows = section[table.key] = Json::array();
        for (const std::vector<Value>& row : table.rows) {
            Json& object = rows.emplace_back(Json::object());
            for (std::size_t i = 0; i < row.size(); ++i) {
                object[table.columns[i].key] = json_of(row[i]);
            }
        }
    }
};

}  // namespace

std::string document_json(const Document& document) {
    Json json = Json::object();
    for (const auto& [key, value] : document.head) {
        json[key] = json_of(value);
    }
    for (const DocumentSection& section : document.sections) {
        Json& object = json[section.key] = {{"title", section.title}};
        for (const DocumentPart& part : section.parts) {
            std::visit(JsonPartWriter{object}, part);
        }
    }
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

}  // namespace eaveshed
