// SPDX-License-Identifier: MIT
namespace Fumecast.Air;

/// <summary>Exact steps by length, for agents that behave alike: a job has few lengths of steps, and a step costs far more to make than to take.</summary>
internal sealed class StepCache(AirRates rates)
{
    // Enough for the halvings of a splitting step, small enough to look through.
    private const int Kept = 32;

    private readonly ExactStep?[] _steps = new ExactStep?[Kept];
    private int _used;
    private int _next;
    private int _last;

    /// <summary>Forgets all steps, since the rates changed.</summary>
    public void Clear() => (_used, _next, _last) = (0, 0, 0);

    /// <summary>The step of a length.</summary>
    /// <param name="seconds">Length [s], over 0.</param>
    public ExactStep Of(double seconds)
    {
        if (_last < _used && _steps[_last]!.Seconds == seconds)
        {
            return _steps[_last]!;
        }

        for (var i = 0; i < _used; i++)
        {
            if (_steps[i]!.Seconds == seconds)
            {
                _last = i;
                return _steps[i]!;
            }
        }

        _last = _next;
        _next = (_next + 1) % Kept;
        _used = Math.Max(_used, _last + 1);
        var step = _steps[_last] ??= new ExactStep(rates.Zones);
        step.Make(rates, seconds);
        return step;
    }
}
