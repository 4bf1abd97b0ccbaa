// The body of a property sheet. Private to the module.
#pragma once

#include <string_view>

namespace eaveshed {

inline constexpr std::string_view kPropertyTemplate = R"html(<div class="sheet">
<header>
<p class="small">{{BASIN}}{{#RANK}}, {{RANK_TEXT}}{{/RANK}}{{#BACK}} <a class="back" href="{{BACK_FILE}}">To the basin's page</a>{{/BACK}}</p>
<h1>{{TITLE}}</h1>
<p class="small">Owner: <span class="blank long">&nbsp;</span> filled in by hand, and only on this paper</p>
<p>{{OPENING}}</p>
</header>
<main>
<section class="part" id="short">
<h2>In short</h2>
<dl class="tiles">
{{#TILE}}<div><dt>{{TILE_NAME}}</dt><dd><span class="figure">{{TILE_VALUE}}</span>{{#TILE_RANGE}}<br><span class="small">{{TILE_RANGE_TEXT}}</span>{{/TILE_RANGE}}</dd></div>
{{/TILE}}</dl>
{{#LIMIT}}<p>{{LIMIT_TEXT}}</p>
{{/LIMIT}}</section>
{{#ASK}}<section class="part" id="ask">
<h2>What to ask, and to look at on site</h2>
{{#QUESTIONS}}<ol>
{{#QUESTION}}<li>{{QUESTION_TEXT}} <span class="small">Because {{QUESTION_STAKES}}.</span><span class="answer">&nbsp;</span></li>
{{/QUESTION}}</ol>
{{/QUESTIONS}}{{#CHECKS}}<ul class="two">
{{#CHECK}}<li>{{CHECK_TEXT}}</li>
{{/CHECK}}</ul>
{{/CHECKS}}</section>
{{/ASK}}{{#PLAN}}<section class="part" id="where">
<h2>{{PLAN_NAME}}</h2>
<figure class="map">{{MARKUP_PLAN:none}}</figure>
{{#PLACE}}<p>{{PLACE_TEXT}}</p>
{{/PLACE}}</section>
{{/PLAN}}{{#PROFILE}}<section class="part" id="profile-part">
<h2>How the water runs</h2>
<figure class="map">{{MARKUP_PROFILE:none}}</figure>
<p class="small">{{PROFILE_TEXT}}</p>
{{#FLOW}}<p>{{FLOW_TEXT}}</p>
{{/FLOW}}</section>
{{/PROFILE}}{{#YEARS}}<section class="part" id="years">
<h2>Through the year</h2>
<div class="figures">
{{#YEAR}}<figure><figcaption>In {{YEAR_NAME}}</figcaption>{{MARKUP_YEAR:none}}</figure>
{{/YEAR}}</div>
<div class="scroll" role="region" aria-label="The years in sums" tabindex="0">
<table>
<thead><tr><th scope="col">{{UNIT_VOLUME}}</th>{{#YEAR_HEAD}}<th scope="col" class="n">{{YEAR_HEAD_TEXT}}</th>{{/YEAR_HEAD}}</tr></thead>
<tbody>
{{#YEAR_LINE}}<tr><th scope="row">{{YEAR_WHAT}}</th>{{#YEAR_CELL}}<td class="n">{{YEAR_VALUE}}</td>{{/YEAR_CELL}}</tr>
{{/YEAR_LINE}}</tbody>
</table>
</div>
{{#SEASONS}}<p>{{SEASONS_TEXT}}</p>
{{/SEASONS}}</section>
{{/YEARS}}{{#HAND}}<p><strong>To redo by hand:</strong> {{HAND_TEXT}}</p>
{{/HAND}}{{#SIZES}}<section class="part" id="sizes">
<h2>Sizes that could stand there</h2>
<div class="scroll" role="region" aria-label="Sizes that could stand there" tabindex="0">
<table>
<thead><tr><th scope="col">Tanks (about), {{UNIT_VOLUME}}</th><th scope="col" class="n">replaced a season, {{UNIT_VOLUME}}</th><th scope="col" class="n">the creek feels, {{UNIT_FLOW}}</th><th scope="col" class="n">still unmet in the mean, {{UNIT_VOLUME}}</th><th scope="col" class="n">in {{SEASONS_OF_100}} of 100 seasons at most, {{UNIT_VOLUME}}</th>{{#PRESSURE_HEAD}}<th scope="col" class="n">pressure, tanks low, {{UNIT_PRESSURE}}</th>{{/PRESSURE_HEAD}}{{#DELIVERY_HEAD}}<th scope="col">delivery</th>{{/DELIVERY_HEAD}}<th scope="col" class="n">cost{{#CURRENCY}}, {{CURRENCY_NAME}}{{/CURRENCY}}</th><th scope="col"></th></tr></thead>
<tbody>
{{#SIZE}}<tr class="{{SIZE_CLASS}}"><th scope="row">{{SIZE_TANKS}}</th><td class="n">{{SIZE_REPLACED}}</td><td class="n">{{SIZE_FELT}}</td><td class="n">{{SIZE_UNMET}}</td><td class="n">{{SIZE_UNMET_DRY}}</td>{{#PRESSURE_CELL}}<td class="n">{{SIZE_PRESSURE}}</td>{{/PRESSURE_CELL}}{{#DELIVERY_CELL}}<td class="word">{{SIZE_DELIVERY}}</td>{{/DELIVERY_CELL}}<td class="n">{{SIZE_COST}}</td><td class="word">{{SIZE_NOTE}}</td></tr>
{{/SIZE}}</tbody>
</table>
</div>
{{#SIZES_NOTE}}<p class="small">{{SIZES_TEXT}}</p>
{{/SIZES_NOTE}}</section>
{{/SIZES}}<div class="pair">
{{#NOTES}}<section class="part" id="notes">
<h2>What goes with it</h2>
<ul>
{{#NOTE}}<li>{{NOTE_TEXT}}</li>
{{/NOTE}}</ul>
</section>
{{/NOTES}}{{#CALENDAR}}<section class="part" id="calendar">
<h2>The year's work</h2>
<table>
<tbody>
{{#TASK}}<tr><th scope="row" class="word">{{TASK_MONTHS}}</th><td>{{TASK_TEXT}}</td></tr>
{{/TASK}}</tbody>
</table>
</section>
{{/CALENDAR}}</div>
<section class="part whole" id="cautions">
<h2>Cautions</h2>
<div class="caution two">
{{#CAUTION}}<p>{{CAUTION_TEXT}}</p>
{{/CAUTION}}</div>
<p class="small">A screening from maps and records, not a design, made by eaveshed {{VERSION}}.</p>
<p>Visited on <span class="blank">&nbsp;</span> by <span class="blank long">&nbsp;</span></p>
</section>
</main>
</div>
)html";

}  // namespace eaveshed
