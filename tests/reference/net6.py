"""One real reducing valve, out of a network that was published: VALVE-3891 of Net6, run through EPANET.

Run as a program it prints the fixture that the demo works with.
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


def readings(network, results, hour):
    """What gauges and a meter at the valve would show."""
    valve = network.get_link(VALVE)
    pressure, flow = results.node["pressure"].loc[hour * 3600], results.link["flowrate"].loc[hour * 3600]
    return {
        "hour": hour,
        "inlet": f"{psi(pressure[valve.start_node_name]):.2f} psi",
        "outlet": f"{psi(pressure[valve.end_node_name]):.2f} psi",
        "flow": f"{gpm(flow[VALVE]):.2f} gpm",
    }


def fixture(network, results):
    valve = network.get_link(VALVE)
    # The hours in the order of their flow: the droop is read at a low, a normal and a high one.
    by_flow = [int(second) // 3600 for second in results.link["flowrate"][VALVE].sort_values(kind="stable").index]
    return {
        "source": {
            "network": "Net6.inp as shipped in wntr 1.5.0 (PyPI, Revised BSD licence)",
            "from": "Watson, J.P., Murray, R. and Hart, W.E., 2009. Formulation and optimization of robust sensor "
            "placement problems for drinking water contamination warning systems. Journal of Infrastructure "
            "Systems, 15(4), pp. 330-339 (as the file's title says)",
            "computed": "EPANET through wntr.sim.EpanetSimulator, over the file's 96 hours",
            "pressures": "psi by the conventional definition; EPANET's own 0.4333 psi a foot makes the setting "
            "read 55.00 where this file has 55.03",
        },
        "valve": {
            "name": VALVE,
            "kind": "reducing",
            "size": f"{round(valve.diameter / 0.0254)} in",
            "elevation": f"{valve.end_node.elevation / 0.3048:.0f} ft",
            "setting": f"{valve.initial_setting / 0.3048 * EPANET_PSI_PER_FT:.0f} psi",
        },
        "start": readings(network, results, 0),
        "low_flow": readings(network, results, by_flow[0]),
        "normal_flow": readings(network, results, by_flow[len(by_flow) // 2]),
        "high_flow": readings(network, results, by_flow[-1]),
    }


if __name__ == "__main__":
    print(json.dumps(fixture(*run()), indent=2))
