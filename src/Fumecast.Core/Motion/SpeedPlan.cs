// SPDX-License-Identifier: MIT
namespace Fumecast.Motion;

/// <summary>The look-ahead over a window, in two passes where a minimum cruise ratio is in force.</summary>
/// <remarks>
/// The first, calm pass plans with acceleration a (1 - ratio). A move that does not reach its highest speed there gets the speed it did
/// reach as its limit; the second pass plans with a. Then at least the ratio of the move's length is cruised.
/// </remarks>
internal sealed class SpeedPlan(MoveWindow window, int? blocks)
{
    private readonly LookAhead _speeds = new(blocks, window.Capacity);
    private readonly LookAhead _calmSpeeds = new(blocks, window.Capacity);
    private bool _keepsCruiseRatio;

    /// <summary>Square of the speed where each move begins [mm2/s2]; final up to <see cref="Settled"/>, included.</summary>
    public double[] Entry => _speeds.Entry;

    /// <summary>Moves whose speeds are final [-].</summary>
    public int Settled => _speeds.Settled;

    /// <summary>Takes note that moves to come have a minimum cruise ratio.</summary>
    public void KeepCruiseRatio()
    {
        if (!_keepsCruiseRatio)
        {
            // So far both passes are the same, so the state of the one is that of the other.
            _calmSpeeds.StartLike(_speeds);
            _keepsCruiseRatio = true;
        }
    }

    /// <summary>Settles what is certain; at least one more move will follow.</summary>
    public void Advance()
    {
        var known = window.Count;
        if (_keepsCruiseRatio)
        {
            var capped = _calmSpeeds.Settled;
            _calmSpeeds.Advance(window.EntryCap, window.CalmReach, known);
            known = _calmSpeeds.Settled;
            CapForCruise(capped, known);
        }

        _speeds.Advance(window.EntryCap, window.Reach, known);
    }

    /// <summary>Settles about half of the moves as if the newest one ended at rest, after <see cref="Advance"/>.</summary>
    /// <returns>How many of them were not certain [-].</returns>
    public int SettleEarly()
    {
        var certain = _speeds.Settled;
        var known = window.Count;
        if (_keepsCruiseRatio)
        {
            var capped = _calmSpeeds.Settled;
            _calmSpeeds.SettleEarly(Math.Max(capped, 3 * known / 4));
            known = _calmSpeeds.Settled;
            CapForCruise(capped, known);
            _speeds.Advance(window.EntryCap, window.Reach, known);
        }

        _speeds.SettleEarly(2 * known / 3);
        return _speeds.Settled - certain;
    }

    /// <summary>Settles all moves; the run ends behind them.</summary>
    /// <param name="atRestSquared">Square of the speed that may be dropped at the end [mm2/s2].</param>
    public void Finish(double atRestSquared)
    {
        var count = window.Count;
        if (_keepsCruiseRatio)
        {
            var capped = _calmSpeeds.Settled;
            _calmSpeeds.Finish(window.EntryCap, window.CalmReach, count, atRestSquared);
            CapForCruise(capped, count);
        }

        _speeds.Finish(window.EntryCap, window.Reach, count, Math.Min(atRestSquared, window.TopSquared[count - 1]));
    }

    /// <summary>Drops the oldest moves, all of them settled; before the window does.</summary>
    public void Forget(int moves)
    {
        _speeds.Forget(moves, window.Count);
        if (_keepsCruiseRatio)
        {
            _calmSpeeds.Forget(moves, window.Count);
        }
    }

    /// <summary>Makes as much room as the window has.</summary>
    public void Resize()
    {
        _speeds.Resize(window.Capacity);
        _calmSpeeds.Resize(window.Capacity);
    }

    /// <summary>Begins a new run.</summary>
    public void Restart(bool withCruiseRatio)
    {
        _speeds.Restart();
        _calmSpeeds.Restart();
        _keepsCruiseRatio = withCruiseRatio;
    }

    // Lowers the highest speeds to those the calm pass reached, where a ratio is in force.
    private void CapForCruise(int from, int to)
    {
        var top = window.TopSquared;
        var calm = _calmSpeeds.Entry;
        for (var k = from; k < to; k++)
        {
            if (window.CalmReach[k] < window.Reach[k])
            {
                top[k] = Math.Min(top[k], 0.5 * (calm[k] + calm[k + 1] + window.CalmReach[k]));
            }

            var before = k > 0 ? top[k - 1] : top[k];
            window.EntryCap[k] = Math.Min(window.EntryCap[k], Math.Min(before, top[k]));
        }
    }
}
