// SPDX-License-Identifier: MIT
using System.Collections.Concurrent;
using System.Runtime.ExceptionServices;

namespace Fumecast.GCode;

/// <summary>Reads a stream on a thread of its own, some blocks ahead: for data that takes work to produce, such as inflating.</summary>
/// <remarks>
/// Hands over whole blocks, so the threads meet once in 128 KiB. Bytes and trouble come out as they would without it. Only for sources
/// whose reads end by themselves (files, not pipes): <see cref="Dispose"/> waits for the one that is under way.
/// </remarks>
internal sealed class ReadAhead : ForwardStream
{
    private const int BlockBytes = 128 * 1024;
    private const int MostBlocks = 4;

    private readonly Stream _source;
    private readonly BlockingCollection<Block> _full = new(MostBlocks);
    private readonly BlockingCollection<Block> _empty = new(MostBlocks);
    private readonly Thread _worker;
    private Block? _open;
    private int _given;
    private bool _isDisposed;

    internal ReadAhead(Stream source)
    {
        _source = source;
        for (var i = 0; i < MostBlocks; i++)
        {
            _empty.Add(new Block());
        }

        _worker = new Thread(Work) { IsBackground = true, Name = "read ahead" };
        _worker.Start();
    }

    public override int Read(Span<byte> buffer)
    {
        if (buffer.IsEmpty)
        {
            return 0;
        }

        while (_open is null || _given == _open.Length)
        {
            // The last block is kept, so that whoever asks again learns the same.
            if (_open is { IsLast: true })
            {
                _open.Trouble?.Throw();
                return 0;
            }

            if (_open is not null)
            {
                _empty.Add(_open);
            }

            _open = _full.Take();
            _given = 0;
        }

        var count = Math.Min(buffer.Length, _open.Length - _given);
        _open.Bytes.AsSpan(_given, count).CopyTo(buffer);
        _given += count;
        return count;
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing && !_isDisposed)
        {
            _isDisposed = true;
            _empty.CompleteAdding();
            while (_empty.TryTake(out _))
            {
                // No block, no further read.
            }

            _worker.Join();
            _source.Dispose();
            _full.Dispose();
            _empty.Dispose();
        }

        base.Dispose(disposing);
    }

    private void Work()
    {
        foreach (var block in _empty.GetConsumingEnumerable())
        {
            Fill(block);

            // Never waits: there are no more blocks than fit.
            _full.Add(block);
            if (block.IsLast)
            {
                return;
            }
        }
    }

    private void Fill(Block block)
    {
        block.Length = 0;
        try
        {
            while (block.Length < BlockBytes && !block.IsLast)
            {
                var count = _source.Read(block.Bytes.AsSpan(block.Length));
                block.Length += count;
                block.IsLast = count == 0;
            }
        }
#pragma warning disable CA1031 // Whatever it is, it is raised again where it is read.
        catch (Exception trouble)
#pragma warning restore CA1031
        {
            block.Trouble = ExceptionDispatchInfo.Capture(trouble);
            block.IsLast = true;
        }
    }

    private sealed class Block
    {
        public readonly byte[] Bytes = new byte[BlockBytes];
        public int Length;
        public bool IsLast;
        public ExceptionDispatchInfo? Trouble;
    }
}
