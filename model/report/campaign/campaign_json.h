/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the JSON documents about iron have in common. */
#ifndef BF_REPORT_CAMPAIGN_CAMPAIGN_JSON_H
#define BF_REPORT_CAMPAIGN_CAMPAIGN_JSON_H

#include "report/page/json.h"

/* A document of `command`: the head of every document, then campaign, remarks and, where the
 * campaign names chemicals or `with_safety` is nonzero, safety. */
json_t *bf__fouling_document(const char *command, const bf_page *page,
                             const bf_case_campaign *campaign, const bf_campaign_spec *spec,
                             int with_safety);

#endif
