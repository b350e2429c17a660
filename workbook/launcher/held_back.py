"""Extensions of JupyterLab that are not loaded with every page, but when one of them is needed.

Disabling an extension does not keep its files from being loaded; only leaving it out of the page's list does. What is
left out is told under another name, for labextensions/loadout-chart/static/lazy_plotly.js.
"""

from typing import Any

PLOTLY = "jupyterlab-plotly"  # 4.8 MB


def hold_back(_handler: object, page_config: dict[str, Any]) -> dict[str, Any]:
    """Take plotly's extension out of what a page loads: Jupyter Server's `page_config_hook`.

    Parameters
    ----------
    _handler : of the request.
    page_config : what the page is told; it is changed, and returned.
    """
    listed = page_config.get("federated_extensions", [])
    page_config["federated_extensions"] = [one for one in listed if one["name"] != PLOTLY]
    page_config["loadoutHeldBack"] = [one for one in listed if one["name"] == PLOTLY]
    return page_config
