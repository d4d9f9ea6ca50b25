// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Air;

/// <summary>Where all of an agent went: what was there, was given off and came in is in the air or left it one way or another.</summary>
/// <param name="Agent">The agent; amounts are in its unit.</param>
/// <param name="Initial">In the air at the beginning.</param>
/// <param name="Emitted">Given off in the zones.</param>
/// <param name="Entered">Come in from outdoors.</param>
/// <param name="Airborne">In the air of the zones now.</param>
/// <param name="Vented">Gone outdoors.</param>
/// <param name="Deposited">On surfaces.</param>
/// <param name="Filtered">In filters.</param>
/// <param name="Coagulated">Particles that stuck to others; 0 for all but their number.</param>
internal sealed record AirBalance(
    Agent Agent, double Initial, double Emitted, double Entered, double Airborne, double Vented, double Deposited, double Filtered, double Coagulated)
{
    /// <summary>What the two sides differ by, relative to what there was in all [-]; rounding only.</summary>
    public double Gap
    {
        get
        {
            var all = Initial + Emitted + Entered;
            return all > 0 ? (all - Airborne - Vented - Deposited - Filtered - Coagulated) / all : 0;
        }
    }
}
