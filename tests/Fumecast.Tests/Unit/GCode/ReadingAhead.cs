// SPDX-License-Identifier: MIT
using Fumecast.GCode;

namespace Fumecast.Tests.Unit.GCode;

/// <summary>Reading ahead on another thread shows in nothing but the time.</summary>
public class ReadingAhead
{
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(128 * 1024)]
    [InlineData(3_000_000)]
    public void All_bytes_come_in_order_whatever_is_asked_for_at_once(int length)
    {
        var bytes = new byte[length];
        new Random(length).NextBytes(bytes);
        using var ahead = new ReadAhead(new Hesitant(bytes, failsAfter: int.MaxValue));
        var got = new List<byte>();
        var buffer = new byte[100_000];
        for (var ask = 1; ahead.Read(buffer.AsSpan(0, 1 + (ask % buffer.Length))) is > 0 and var count; ask += 7919)
        {
            got.AddRange(buffer.AsSpan(0, count));
        }

        Assert.Equal(bytes, got);
        Assert.Equal(0, ahead.Read(buffer));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(500_000)]
    public void What_came_before_trouble_is_read_first_and_the_trouble_each_time_after_it(int failsAfter)
    {
        using var ahead = new ReadAhead(new Hesitant(new byte[1_000_000], failsAfter));
        var buffer = new byte[failsAfter];
        ahead.ReadExactly(buffer);
        Assert.Equal("a bad sector", Assert.Throws<IOException>(() => ahead.ReadByte()).Message);
        Assert.Equal("a bad sector", Assert.Throws<IOException>(() => ahead.ReadByte()).Message);
    }

    [Fact]
    public void It_can_be_given_up_half_way()
    {
        var source = new Hesitant(new byte[10_000_000], failsAfter: int.MaxValue);
        using (var ahead = new ReadAhead(source))
        {
            Assert.Equal(0, ahead.ReadByte());
        }

        Assert.True(source.IsDisposed);
        Assert.InRange(source.Given, 1, 2_000_000);
    }

    /// <summary>Gives a few bytes at a time, as decompression does.</summary>
    private sealed class Hesitant(byte[] bytes, int failsAfter) : ForwardStream
    {
        internal int Given { get; private set; }

        internal bool IsDisposed { get; private set; }

        public override int Read(Span<byte> buffer)
        {
            if (Given == failsAfter)
            {
                throw new IOException("a bad sector");
            }

            var count = Math.Min(Math.Min(buffer.Length, 1 + (Given % 50_000)), Math.Min(bytes.Length, failsAfter) - Given);
            bytes.AsSpan(Given, count).CopyTo(buffer);
            Given += count;
            return count;
        }

        protected override void Dispose(bool disposing)
        {
            IsDisposed = true;
            base.Dispose(disposing);
        }
    }
}
