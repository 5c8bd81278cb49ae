using System.Net;
using System.Net.Sockets;

namespace XoverOpt.Worker.Host;

/// <summary>An address to listen at, as the server takes it: a name that is neither localhost nor a number means every address of the machine.</summary>
/// <param name="Address">The address it binds.</param>
/// <param name="Port">The port; 0 for any that is free.</param>
internal sealed record ListenAddress(IPAddress Address, int Port)
{
    /// <summary>Whether only this machine can reach it.</summary>
    public bool IsLoopback => IPAddress.IsLoopback(Address);

    /// <summary>Reads a URL; null if it is none to listen at.</summary>
    public static ListenAddress? Parse(string url)
    {
        string whole = url.Replace("//*", "//any", StringComparison.Ordinal).Replace("//+", "//any", StringComparison.Ordinal);
        if (!Uri.TryCreate(whole, UriKind.Absolute, out Uri? uri) || uri.Scheme is not ("http" or "https") || uri.AbsolutePath != "/" || uri.Query.Length > 0)
        {
            return null;
        }

        IPAddress address = uri.Host == "localhost" ? IPAddress.Loopback : IPAddress.TryParse(uri.Host.Trim('[', ']'), out IPAddress? number) ? number : IPAddress.IPv6Any;
        return new ListenAddress(address, uri.Port);
    }

    /// <summary>Why nothing can listen here now; null if something can.</summary>
    public string? Obstacle()
    {
        using Socket socket = new(Address.AddressFamily, SocketType.Stream, ProtocolType.Tcp);
        try
        {
            socket.Bind(new IPEndPoint(Address, Port));
            socket.Listen();
            return null;
        }
        catch (SocketException failure)
        {
            return failure.SocketErrorCode switch
            {
                SocketError.AddressAlreadyInUse => "another program listens there already; end it, or choose another port with --urls",
                SocketError.AccessDenied => "ports below 1024 need rights this user lacks; choose another with --urls",
                SocketError.AddressNotAvailable => "this machine has no such address",
                SocketError.AddressFamilyNotSupported => null,
                _ => failure.Message,
            };
        }
    }
}
