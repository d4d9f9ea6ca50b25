// SPDX-License-Identifier: MIT
namespace Fumecast.Machine;

/// <summary>What a queued command will change when motion reaches it.</summary>
internal enum PendingChange : byte
{
    /// <summary>A nozzle's target [degC].</summary>
    NozzleTarget,

    /// <summary>The bed's target [degC].</summary>
    BedTarget,

    /// <summary>The part fan's share of full speed [-].</summary>
    Fan,

    /// <summary>Nothing: a tool feeds for the first time, so that its nozzle must be hot; the value is the line [-].</summary>
    FirstFeed,
}

/// <summary>Changes that wait for motion to reach them, in a ring that grows only with the planner's window.</summary>
internal sealed class PendingEvents
{
    private readonly Queue<(int Id, PendingChange Kind, int Tool, double Value)> _queue = new();
    private int _next;

    /// <summary>Queues a change and gives the number to mark it with.</summary>
    public int Add(PendingChange kind, int tool, double value)
    {
        var id = unchecked(_next++);
        _queue.Enqueue((id, kind, tool, value));
        return id;
    }

    /// <summary>Takes the change with this number; marks arrive in the order they were placed.</summary>
    public (PendingChange Kind, int Tool, double Value) Take(int id)
    {
        var (queued, kind, tool, value) = _queue.Dequeue();
        return queued == id
            ? (kind, tool, value)
            : throw new InvalidOperationException($"mark {id} arrived out of order");
    }
}
