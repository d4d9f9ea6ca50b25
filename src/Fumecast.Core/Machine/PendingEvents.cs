// SPDX-License-Identifier: MIT
namespace Fumecast.Machine;

/// <summary>What a queued command will change when motion reaches it.</summary>
internal enum PendingChange : byte
{
    /// <summary>A nozzle's target [degC].</summary>
    NozzleTarget,

    /// <summary>A nozzle's target and its temperature at once: it was hot before the job [degC].</summary>
    NozzleHot,

    /// <summary>The bed's target [degC].</summary>
    BedTarget,

    /// <summary>The part fan's share of full speed [-].</summary>
    Fan,

    /// <summary>Nothing: a tool feeds for the first time, so that its nozzle must be hot; the value is the lowest temperature for it [degC], the place its line [-].</summary>
    FirstFeed,
}

/// <summary>Changes that wait for motion to reach them; as many as the planner holds back.</summary>
internal sealed class PendingEvents
{
    private readonly Queue<(int Id, PendingChange Kind, int Tool, double Value, long Place)> _queue = new();
    private int _next;

    /// <summary>Queues a change and gives the number to mark it with.</summary>
    public int Add(PendingChange kind, int tool, double value, long place = 0)
    {
        var id = unchecked(_next++);
        _queue.Enqueue((id, kind, tool, value, place));
        return id;
    }

    /// <summary>Takes the change with this number; marks arrive in the order they were placed.</summary>
    public (PendingChange Kind, int Tool, double Value, long Place) Take(int id) =>
        _queue.TryDequeue(out var change) && change.Id == id
            ? (change.Kind, change.Tool, change.Value, change.Place)
            : throw new InvalidOperationException($"mark {id} arrived out of order");
}
