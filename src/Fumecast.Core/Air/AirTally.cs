// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Air;

/// <summary>Keeps account of one agent in all zones while a run goes on.</summary>
internal sealed class AirTally(Agent agent)
{
    private double _initial;
    private double _emitted;
    private double _entered;
    private double _vented;
    private double _deposited;
    private double _filtered;

    /// <summary>Counts what was there at the beginning.</summary>
    /// <param name="amount">How much more [unit of the agent]; less than 0 takes back.</param>
    public void Start(double amount) => _initial += amount;

    /// <summary>Counts what came in.</summary>
    /// <param name="given">Given off in the zones [unit of the agent].</param>
    /// <param name="fromOutdoors">Come in from outdoors [unit of the agent].</param>
    public void Gain(double given, double fromOutdoors)
    {
        _emitted += given;
        _entered += fromOutdoors;
    }

    /// <summary>Counts what settled by its size, which no rate says.</summary>
    /// <param name="amount">How much [unit of the agent].</param>
    public void Settle(double amount) => _deposited += amount;

    /// <summary>Counts what left at the rates in force.</summary>
    /// <param name="rates">The rates.</param>
    /// <param name="integralS">Integral of the amounts in the zones [unit of the agent s].</param>
    public void Lose(AirRates rates, ReadOnlySpan<double> integralS)
    {
        for (var z = 0; z < integralS.Length; z++)
        {
            _vented += rates.VentedPerS[z] * integralS[z];
            _deposited += rates.DepositedPerS[z] * integralS[z];
            _filtered += rates.FilteredPerS[z] * integralS[z];
        }
    }

    /// <summary>The account so far.</summary>
    /// <param name="airborne">In the air of the zones now [unit of the agent].</param>
    /// <param name="coagulated">Particles that stuck to others.</param>
    public AirBalance Balance(double airborne, double coagulated) =>
        new(agent, _initial, _emitted, _entered, airborne, _vented, _deposited, _filtered, coagulated);
}
