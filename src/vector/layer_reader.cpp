#include "layer_reader.hpp"

#include <utility>
#include <vector>

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/network/remote_file.hpp"
#include "eaveshed/stop/stop.hpp"
#include "eaveshed/words/condition.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

LayerReader::LayerReader(VectorDataset dataset, const std::string& layer_name, GeometryNeed need, Findings& findings)
    : m_dataset(std::move(dataset)), m_layer(&m_dataset.choose(layer_name, need, findings)) {
    m_where = fmt::format("{}, layer '{}'", m_dataset.where(), printable(m_layer->GetName()));
}

void LayerReader::report(const std::string& said) const {
    if (m_dataset.ran_out_of_time()) {
        throw working_error(m_where,
                            fmt::format("a view or filter that gave no row within {} seconds",
                                        VectorDataset::kLongestStatement.count()),
                            "a table", "save what the view shows as a table");
    }
    if (!m_condition.empty() && m_dataset.statement_failed()) {
        refuse_condition(said);
    }
    if (said.find("database is locked") != std::string::npos) {
        throw Error(Fault::passing, {m_where, "a file locked by another program", "a file nobody writes to",
                                     "close the program that edits it and run again"});
    }
    const std::string place = m_any_read ? fmt::format("after feature {}", m_last_fid) : "at the first feature";
    throw working_error(m_where, fmt::format("a read error {}: {}", place, printable(said, kMessageBytes)), "",
                        "restore the file from a backup, or repair it");
}

void LayerReader::refuse_condition(const std::string& said) const {
    // The library may name its whole statement and leave out what is wrong with it.
    const std::string own = m_dataset.statement_failed() ? m_dataset.database_said() : std::string();
    const std::string& fault = own.empty() ? said : own;
    throw input_error(m_where,
                      fmt::format("a filter that cannot be used, where = \"{}\": {}",
                                  printable(m_condition, kMessageBytes), printable(fault, kMessageBytes)),
                      "one condition on the layer's fields, as in SQL", condition_remedy(fault, field_names(*m_layer)));
}

OGRFeatureUniquePtr LayerReader::first_where(const std::string& condition) {
    m_condition = condition;
    if (const auto fault = fault_of_condition(condition)) {
        refuse_condition("there is " + *fault);
    }
    OGRErr code = OGRERR_FAILURE;
    OGRFeatureUniquePtr first;
    const std::string said = guarded([&](OGRLayer& layer) {
        code = layer.SetAttributeFilter(condition.c_str());
        if (code == OGRERR_NONE) {
            layer.ResetReading();
            first.reset(layer.GetNextFeature());
        }
    });
    if (code != OGRERR_NONE || (!first && !said.empty())) {
        refuse_condition(said);
    }
    return first;
}

OGRFeatureUniquePtr LayerReader::next() {
    stop_if_requested();
    const GdalErrors errors;
    m_dataset.restart_watch();
    OGRFeatureUniquePtr feature(m_layer->GetNextFeature());
    throw_network_fault();
    if (!feature && errors.failures() > 0) {
        stop_if_requested();
        report(errors.text());
    }
    if (feature) {
        m_last_fid = feature->GetFID();
        m_any_read = true;
    }
    return feature;
}

void LayerReader::rewind() {
    m_any_read = false;
    guarded([](OGRLayer& layer) { layer.ResetReading(); });
}

std::string LayerReader::guarded(const std::function<void(OGRLayer&)>& work) {
    const GdalErrors errors;
    m_dataset.restart_watch();
    work(*m_layer);
    throw_network_fault();
    stop_if_requested();
    if (m_dataset.ran_out_of_time()) {
        report({});
    }
    return errors.failures() > 0 ? errors.text() : std::string();
}

}  // namespace eaveshed
