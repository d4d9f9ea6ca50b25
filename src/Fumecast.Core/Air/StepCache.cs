// SPDX-License-Identifier: MIT
namespace Fumecast.Air;

/// <summary>Exact steps by length, for agents that behave alike: a job has few lengths of steps, and a step costs far more to make than to take.</summary>
internal sealed class StepCache(AirRates rates)
{
    // Enough for the halvings of a splitting step, small enough to look through.
    private const int Kept = 32;

    private readonly ExactStep?[] steps = new ExactStep?[Kept];
    private int used;
    private int next;
    private int last;

    /// <summary>Forgets all steps, since the rates changed.</summary>
    public void Clear() => (used, next, last) = (0, 0, 0);

    /// <summary>The step of a length.</summary>
    /// <param name="seconds">Length [s], over 0.</param>
    public ExactStep Of(double seconds)
    {
        if (last < used && steps[last]!.Seconds == seconds)
        {
            return steps[last]!;
        }

        for (var i = 0; i < used; i++)
        {
            if (steps[i]!.Seconds == seconds)
            {
                last = i;
                return steps[i]!;
            }
        }

        last = next;
        next = (next + 1) % Kept;
        used = Math.Max(used, last + 1);
        var step = steps[last] ??= new ExactStep(rates.Zones);
        step.Make(rates, seconds);
        return step;
    }
}
