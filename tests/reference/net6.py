"""One real reducing valve, out of a network that was published: VALVE-3891 of Net6, run through EPANET.

Run as a program it prints the figures of the fixture that the demo works with.
"""

import json
import os
import tempfile

import pint
import wntr

VALVE = "VALVE-3891"
UREG = pint.UnitRegistry()

# EPANET's own factor, psi in a foot of water, written with four digits in its source (`PSIperFT` in types.h).
# By the conventional definition it is 0.43352750: EPANET's 55 psi is 55.03 psi to everybody else. The fixture
# holds conventional psi; the model's own setting stands beside them as its file writes it.
EPANET_PSI_PER_FT = 0.4333


def run():
    """The network and its results over its whole 96 hours, in SI: metres of head, cubic metres a second."""
    network = wntr.network.WaterNetworkModel(wntr.library.ModelLibrary().get_filepath("Net6"))
    with tempfile.TemporaryDirectory() as scratch:
        prefix = os.path.join(scratch, "net6")
        results = wntr.sim.EpanetSimulator(network).run_sim(file_prefix=prefix)
    return network, results


def psi(metres):
    """Conventional psi of a head that EPANET gave in metres."""
    return UREG.Quantity(float(metres), "m_H2O").to("psi").magnitude


def gpm(cubic_metres_per_second):
    return UREG.Quantity(float(cubic_metres_per_second), "m ** 3 / s").to("US_liquid_gallon / minute").magnitude


def hour(network, results, at):
    """What gauges and a meter at the valve would show at this hour, to two digits behind the point."""
    valve = network.get_link(VALVE)
    pressure, flow = results.node["pressure"].loc[at * 3600], results.link["flowrate"].loc[at * 3600]
    return {
        "hour": at,
        "inlet_psi": f"{psi(pressure[valve.start_node_name]):.2f}",
        "outlet_psi": f"{psi(pressure[valve.end_node_name]):.2f}",
        "flow_gpm": f"{gpm(flow[VALVE]):.2f}",
    }


def figures(network, results):
    """The fixture without its words about itself."""
    valve = network.get_link(VALVE)
    return {
        "valve": VALVE,
        "kind": valve.valve_type,
        "inlet_node": valve.start_node_name,
        "outlet_node": valve.end_node_name,
        "size_in": f"{valve.diameter / 0.0254:.0f}",
        "set_point_psi": f"{valve.initial_setting / 0.3048 * EPANET_PSI_PER_FT:.0f}",
        "hours": [hour(network, results, at) for at in range(25)],
    }


if __name__ == "__main__":
    print(json.dumps(figures(*run()), indent=2))
