using XoverOpt.Worker.Commands;

return CommandLine.Run(args);
