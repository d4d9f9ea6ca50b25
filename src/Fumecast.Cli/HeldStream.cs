// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Cli;

/// <summary>Holds a result back until all of it is there: in memory, and from some megabytes on in a temporary file.</summary>
/// <param name="what">What is held, for messages.</param>
internal sealed class HeldStream(string what) : Stream
{
    private const int MostInMemory = 4 << 20;
    private Stream _inner = new MemoryStream();

    public override bool CanRead => true;

    public override bool CanSeek => true;

    public override bool CanWrite => true;

    public override long Length => _inner.Length;

    public override long Position
    {
        get => _inner.Position;
        set => _inner.Position = value;
    }

    public override int Read(byte[] buffer, int offset, int count) => _inner.Read(buffer, offset, count);

    public override int Read(Span<byte> buffer) => _inner.Read(buffer);

    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        if (_inner is MemoryStream memory && memory.Position + buffer.Length > MostInMemory)
        {
            var file = ScratchFile.Create(what);
            file.Write(memory.GetBuffer(), 0, (int)memory.Length);
            file.Position = memory.Position;
            _inner = file;
        }

        _inner.Write(buffer);
    }

    public override void Flush() => _inner.Flush();

    public override long Seek(long offset, SeekOrigin origin) => _inner.Seek(offset, origin);

    public override void SetLength(long value) => _inner.SetLength(value);

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _inner.Dispose();
        }

        base.Dispose(disposing);
    }
}
