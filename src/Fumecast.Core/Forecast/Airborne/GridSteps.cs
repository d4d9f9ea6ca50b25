// SPDX-License-Identifier: MIT
using Fumecast.Air;

namespace Fumecast.Forecast;

/// <summary>Exact steps for the cells of a grid, kept from draw to draw: cells are halves of halves, so there are few lengths, each with its own place.</summary>
/// <param name="zones">Number of zones.</param>
internal sealed class GridSteps(int zones)
{
    // Lengths from the whole span down to the finest cell, and so many halvings of that.
    private const int MostHalvings = 48;

    private readonly ExactStep?[] _steps = new ExactStep?[MostHalvings];
    private readonly bool[] _isMade = new bool[MostHalvings];

    /// <summary>Forgets what was made for other rates; the places stay.</summary>
    public void Clear() => Array.Clear(_isMade);

    /// <summary>The step of a length.</summary>
    /// <param name="rates">The rates in force.</param>
    /// <param name="halvings">How often the whole span was halved [-].</param>
    /// <param name="seconds">The length [s].</param>
    public ExactStep Of(AirRates rates, int halvings, double seconds)
    {
        if (_isMade[halvings])
        {
            return _steps[halvings]!;
        }

        var step = _steps[halvings] ??= new ExactStep(zones);
        step.Make(rates, seconds);
        _isMade[halvings] = true;
        return step;
    }
}
